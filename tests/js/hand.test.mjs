import assert from "node:assert/strict";
import { beforeEach, mock, test } from "node:test";

import { el, show, soon, tell } from "./page.mjs";

mock.timers.enable({ apis: ["setTimeout"] });

const done = []; // what the server was asked, in order
let answers = []; // the questions that are held back
let drawing;
window.htmx.ajax = async (method, path, { values }) => { done.push(`${method} ${path} ${values.dx ?? ""}`.trim()); };
globalThis.fetch = (path, { body }) => new Promise((go) => {
  done.push(`ask ${body.get("dx")}`);
  answers.push(() => go({ ok: true, text: async () => "" }));
});

const { act, forgetSteps, goesBack, step } = await import("../../static/js/drawing/steps.js");
const { isMoving, putBack, putDown, take } = await import("../../static/js/drawing/hand.js");
const { preview } = await import("../../static/js/drawing/preview.js");
const { usePresses } = await import("../../static/js/drawing/press.js");

function thing(more = {}) {
  const hand = {
    path: "/move", group: el("g"), dx: 0, dy: 0,
    moveTo(dx, dy) { Object.assign(hand, { dx, dy }); preview("/preview", hand.values()); },
    values: () => ({ dx: hand.dx }), clear() { done.push("cleared"); }, ...more,
  };
  return hand;
}
const takeUp = () => { take(thing()); return true; };
usePresses({
  drawing: () => drawing, takeUp, ended: ({ id }) => done.push(`pressed ${id}`),
  begin: ({ target }) => (target === drawing ? { id: "e" } : null),
});

async function answerAll() {
  for (let each = 0; each < 9; each += 1) {
    answers.splice(0).forEach((go) => go());
    await soon();
    mock.timers.tick(600);
    await soon();
  }
}

beforeEach(() => {
  done.length = 0;
  answers = [];
  drawing = el("svg", { id: "board-svg" });
  Object.assign(drawing, {
    setPointerCapture() {}, hasPointerCapture: () => true, getScreenCTM: () => ({ inverse: () => null }),
  });
  globalThis.DOMPoint = class { constructor(x, y) { Object.assign(this, { x, y }); } matrixTransform() { return this; } };
  show(el("form", { id: "view" }), el("p", { id: "notice" }), el("p", { id: "live" }), el("form", {}, el("button", { id: "undo" })),
    el("div", { "hx-ext": "merge", "data-design": "d", "data-grid": "1", "data-select": "" }, drawing));
});

test("one question at a time, and then the newest place", async () => {
  const hand = thing();
  take(hand);
  for (const dx of [1, 2, 3, 4]) hand.moveTo(dx, 0);
  await soon();
  assert.deepEqual(done, ["ask 1"]);
  answers.shift()();
  await soon();
  mock.timers.tick(600);
  await soon();
  assert.deepEqual(done, ["ask 1", "ask 4"]);
  putDown();
  await answerAll();
  assert.deepEqual(done.slice(2), ["POST /designs/d/move 4"]);
});

test("what is not drawn to anything is put down without a further question", async () => {
  const hand = thing();
  take(hand);
  hand.moveTo(1, 0);
  hand.moveTo(2, 0);
  putDown();
  await answerAll();
  assert.deepEqual(done, ["ask 1", "POST /designs/d/move 2"]);
});

test("what is drawn to places waits for those of where it was let go", async () => {
  const hand = thing({ isDrawn: () => true, land() { hand.dx += 0.5; } });
  take(hand);
  hand.moveTo(1, 0);
  hand.moveTo(2, 0);
  putDown();
  await answerAll();
  assert.deepEqual(done, ["ask 1", "ask 2", "POST /designs/d/move 2.5"]);
});

test("put back while it is on its way down, it is not put down", async () => {
  const hand = thing();
  take(hand);
  hand.moveTo(1, 0);
  putDown();
  putBack();
  await answerAll();
  assert.deepEqual(done, ["ask 1", "cleared", "GET /designs/d"]);
  assert.ok(!isMoving());
});

test("what the server would not have is shown where it was", async () => {
  const hand = thing();
  document.body.append(hand.group); // it is still there after the answer
  take(hand);
  hand.moveTo(1, 0);
  putDown();
  await answerAll();
  assert.deepEqual(done, ["ask 1", "POST /designs/d/move 1", "cleared", "GET /designs/d"]);
});

const key = (more) => ({ preventDefault() {}, ctrlKey: false, metaKey: false, shiftKey: false, ...more });
const right = (id, more) => act(key(more), () => step(id, [1, 0], key(more), takeUp), id);

test("a run of steps is put down as one, once no key has come for a while", async () => {
  for (let each = 0; each < 3; each += 1) right("e");
  right("e", { shiftKey: true }); // a tenth
  await soon();
  assert.deepEqual(done.filter((each) => each.startsWith("POST")), []);
  await answerAll();
  assert.deepEqual(done.filter((each) => each.startsWith("POST")), ["POST /designs/d/move 3.1"]);
});

test("whatever is pressed after steps finds them made, and so do steps of another thing", async () => {
  right("e");
  act(key(), () => done.push("removed"));
  right("f");
  right("g");
  await soon();
  await answerAll();
  assert.deepEqual(done.filter((each) => !each.startsWith("ask")),
    ["POST /designs/d/move 1", "removed", "POST /designs/d/move 1", "POST /designs/d/move 1"]);
});

test("a step back after a drop that is not answered yet takes back the drop", async () => {
  const hand = thing();
  take(hand);
  hand.moveTo(5, 0);
  putDown();
  assert.ok(goesBack(key({ key: "z", ctrlKey: true })));
  await answerAll();
  assert.deepEqual(done, ["ask 5", "POST /designs/d/move 5", "POST /designs/d/undo"]);
});

test("steps are forgotten before they are put down, and only then", async () => {
  right("e");
  await soon();
  assert.ok(forgetSteps());
  await answerAll();
  assert.deepEqual(done.filter((each) => each.startsWith("POST")), []);
  assert.ok(!forgetSteps());
});

const point = (kind, x, more = {}) =>
  tell(kind, { target: drawing, pointerId: 1, isPrimary: true, button: 0, pointerType: "mouse", clientX: x, clientY: 0, ...more });

test("a press that trembles is a press, and one that goes on is a drag", async () => {
  point("pointerdown", 100);
  point("pointermove", 104);
  point("pointerup", 104);
  assert.deepEqual(done, ["pressed e"]);
  point("pointerdown", 100);
  point("pointermove", 104.5);
  assert.ok(isMoving());
  point("pointerup", 107);
  await answerAll();
  assert.deepEqual(done.slice(1), ["ask 4.5", "POST /designs/d/move 4.5"]);
});

test("a finger may tremble by 10 px", async () => {
  const touch = { pointerType: "touch" };
  point("pointerdown", 100, touch);
  point("pointermove", 110, touch);
  assert.ok(!isMoving());
  point("pointermove", 110.5, touch);
  assert.ok(isMoving());
  point("pointercancel", 110.5, touch);
  await answerAll();
  assert.ok(!isMoving());
});

for (const [what, more] of [["finger", { isPrimary: false }], ["pointer of another kind", {}]]) test(`a second ${what} never edits`, async () => {
  point("pointerdown", 100);
  point("pointermove", 120);
  point("pointerdown", 300, { pointerId: 2, ...more });
  point("pointerup", 300, { pointerId: 2 });
  point("pointermove", 140);
  point("pointerup", 140);
  await answerAll();
  assert.deepEqual(done, ["ask 20", "cleared", "GET /designs/d"]);
});

test("a press while something is on its way down takes its own thing up when that is there", async () => {
  point("pointerdown", 100);
  point("pointermove", 120);
  point("pointerup", 120);
  point("pointerdown", 200);
  point("pointermove", 230); // must not move what was let go
  await answerAll();
  point("pointermove", 231);
  point("pointerup", 231);
  await answerAll();
  assert.deepEqual(done.filter((each) => each.startsWith("POST")), ["POST /designs/d/move 20", "POST /designs/d/move 31"]);
});

test("a pointer whose end was never told presses anew", async () => {
  point("pointerdown", 100);
  point("pointerdown", 200);
  point("pointerup", 200);
  assert.deepEqual(done, ["pressed e"]);
});

test("a step right after something was put back waits until it is there", async () => {
  const hand = thing();
  take(hand);
  hand.moveTo(5, 0);
  putBack();
  right("e");
  await answerAll();
  assert.deepEqual(done, ["ask 5", "cleared", "GET /designs/d", "ask 1", "POST /designs/d/move 1"]);
});

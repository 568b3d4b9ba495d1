import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { el, show, soon, tell } from "./page.mjs";

const sent = [];
window.htmx.ajax = (method, path, { values }) => new Promise((go, fail) => { sent.push({ method, path, values, go, fail }); });
const { ask, inTurn } = await import("../../static/js/forms/turns.js");

let root;

beforeEach(() => {
  sent.length = 0;
  root = el("div", { id: "bench", "hx-ext": "merge", "data-revision": "r1" });
  show(root);
});

test("requests go one after the other, in the order they were made", async () => {
  const made = ["a", "b", "c"].map((path) => inTurn(() => ask("POST", path, {})));
  const went = [];
  for (let each = 0; each < 3; each += 1) {
    await soon();
    assert.equal(sent.length, each + 1, "one at a time");
    went.push(sent[each].path);
    sent[each].go();
  }
  await Promise.all(made);
  assert.deepEqual(went, ["a", "b", "c"]);
});

test("one that is lost does not hold up those after it", async () => {
  const lost = inTurn(() => ask("POST", "a", {}));
  const next = inTurn(() => ask("POST", "b", {}));
  await soon();
  sent[0].fail(new Error("no answer"));
  await assert.rejects(lost);
  await soon();
  sent[1].go();
  await next;
});

test("a change is made on the revision that is on the page when it leaves, not when it was asked for", async () => {
  const first = inTurn(() => ask("POST", "a", { seen: "r1" }));
  const second = inTurn(() => ask("POST", "b", { seen: "r1", x: "1" }));
  const third = inTurn(() => ask("POST", "c", { x: "1" }));
  await soon();
  root.setAttribute("data-revision", "r2");
  sent[0].go();
  await soon();
  sent[1].go();
  await soon();
  sent[2].go();
  await Promise.all([first, second, third]);
  assert.deepEqual(sent.map(({ values }) => values), [{ seen: "r1" }, { seen: "r2", x: "1" }, { x: "1" }]);
});

test("a form pressed while another answer is on its way waits for it, with what stood in it then", async () => {
  const field = el("input", { type: "text", name: "x", value: "1" });
  const form = el("form", { action: "/edit/place" }, field);
  root.append(form);
  const before = inTurn(() => ask("POST", "a", {}));
  field.value = "2";
  const asked = { elt: form, path: "/edit/place", verb: "post", target: root, etc: {}, issueRequest() { throw new Error("too soon"); } };
  assert.ok(tell("htmx:confirm", { detail: asked }).defaultPrevented);
  field.value = "3";
  await soon();
  sent[0].go();
  await before;
  await soon();
  assert.deepEqual([sent[1].path, sent[1].values], ["/edit/place", { x: "2" }]);
  sent[1].go();
});

test("what goes elsewhere than into the page is let through", () => {
  const detail = { elt: root, path: "/states", verb: "get", target: el("nav"), etc: {} };
  assert.ok(!tell("htmx:confirm", { detail }).defaultPrevented);
});

test("a form pressed while nothing is on its way leaves by itself, with what stands in it", async () => {
  const form = el("form", { action: "/edit/place" }, el("input", { type: "text", name: "x", value: "1" }));
  root.append(form);
  const issued = [];
  const detail = { elt: form, path: "/edit/place", verb: "post", target: root, etc: {}, issueRequest(sure) { issued.push(sure); } };
  tell("htmx:confirm", { detail });
  assert.deepEqual([issued, detail.etc.values], [[true], { x: "1" }]);
  await soon();
});

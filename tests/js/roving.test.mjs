import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { el, show, tell } from "./page.mjs";

const part = (id) => el("g", { "data-placement": id, tabindex: "0" });
let parts;

function drawing(select = "") {
  parts = ["a", "b", "c"].map(part);
  show(el("div", { "hx-ext": "merge", "data-select": select }, el("svg", { id: "board-svg" }, el("g", { id: "parts" }, ...parts))));
  tell("htmx:afterSwap");
}
const stops = () => parts.filter((each) => each.getAttribute("tabindex") === "0").map((each) => each.dataset.placement);
const press = (key, more = {}) => tell("keydown", { key, target: document.activeElement, ...more });

show(el("div", { "hx-ext": "merge", "data-select": "" }));
await import("../../static/js/drawing/roving.js");
beforeEach(() => drawing());

test("one part is the stop: the first, or the one in hand", () => {
  assert.deepEqual(stops(), ["a"]);
  drawing("c,b");
  assert.deepEqual(stops(), ["c"]);
});

test("keys go from part to part and take the stop along, to the ends and no farther", () => {
  parts[0].focus();
  const went = ["PageDown", "PageDown", "PageDown", "PageUp", "Home", "End"].map((key) => {
    assert.ok(press(key).defaultPrevented);
    assert.deepEqual(stops(), [document.activeElement.dataset.placement]);
    return stops()[0];
  });
  assert.deepEqual(went, ["b", "c", "c", "b", "a", "c"]);
});

test("the part last gone to is the stop again on a drawing that comes", () => {
  parts[1].focus();
  drawing();
  assert.deepEqual(stops(), ["b"]);
});

test("keys with others held, and off the drawing, are not for it", () => {
  parts[0].focus();
  for (const held of ["ctrlKey", "metaKey", "altKey", "shiftKey"]) assert.ok(!press("End", { [held]: true }).defaultPrevented);
  document.body.focus();
  assert.ok(!press("End").defaultPrevented);
});

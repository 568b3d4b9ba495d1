import assert from "node:assert/strict";
import { test } from "node:test";

import { el, show } from "./page.mjs";

const { merge } = await import("../../static/js/forms/merge.js");

const field = (name, value) => el("input", { type: "text", name, value });
const names = (within) => within.children.map((each) => each.name || each.id || each.tagName);

function page(...children) {
  const root = el("div", { id: "root" }, ...children);
  show(root);
  return root;
}

test("with nothing in hand nothing is merged: the whole is exchanged", () => {
  const old = page(el("form", {}, field("x", "1")));
  assert.equal(merge(old, el("div", { id: "root" }, el("form", {}, field("x", "2"))), false), false);
});

test("a field that holds what was not sent stays, and all round it is new", () => {
  const typed = field("x", "1");
  const before = el("form", { id: "f", class: "old" }, field("w", "1"), typed, field("y", "1"));
  const old = page(el("p", { id: "above" }), before, el("p", { id: "after" }));
  typed.value = "17";
  const words = el("p", { id: "words" });
  const fresh = el("div", { id: "root", "data-revision": "2" },
    words, el("form", { id: "f", class: "new" }, el("b", {}), field("w", "2"), field("x", "2"), field("y", "2")));
  assert.equal(merge(old, fresh, false), true);
  assert.equal(old.getAttribute("data-revision"), "2");
  assert.deepEqual(names(old), ["words", "f"]);
  assert.equal(old.children[0], words);
  const form = old.children[1];
  assert.deepEqual(names(form), ["B", "w", "x", "y"]);
  assert.equal(form.getAttribute("class"), "new");
  assert.equal(form.children[2], typed, "the very field that is being written in");
  assert.equal(typed.value, "17");
  assert.equal(typed.defaultValue, "2", "from here on it differs from what the page says now");
  assert.deepEqual([form.children[1].value, form.children[3].value], ["2", "2"]);
});

test("the field with the focus stays, and does not count as typed", () => {
  const old = page(el("form", {}, field("x", "1")));
  const focused = old.children[0].children[0];
  focused.focus();
  merge(old, el("div", { id: "root" }, el("form", {}, field("x", "2"))), false);
  assert.equal(old.children[0].children[0], focused);
  assert.equal(focused.value, "1");
});

test("what is refused is no value of the page", () => {
  const old = page(el("form", {}, field("x", "1")));
  const typed = old.children[0].children[0];
  typed.value = "flat";
  const wrong = el("input", { type: "text", name: "x", value: "flat", "aria-invalid": "true" });
  merge(old, el("div", { id: "root" }, el("form", {}, wrong)), true);
  assert.equal(typed.defaultValue, "1");
  assert.equal(typed.getAttribute("aria-invalid"), "true");
});

test("what is open round a kept field stays open", () => {
  const typed = field("x", "1");
  const old = page(el("details", { open: "", class: "fold" }, typed));
  typed.value = "2";
  merge(old, el("div", { id: "root" }, el("details", { class: "fold" }, field("x", "1"))), false);
  assert.ok(old.children[0].hasAttribute("open"));
});

test("several kept fields keep their order; one that is gone from the page goes", () => {
  const [a, b, c] = ["a", "b", "c"].map((name) => field(name, "1"));
  const old = page(el("form", {}, a, b, c));
  for (const each of [a, b, c]) each.value = "2";
  merge(old, el("div", { id: "root" }, el("form", {}, el("i", {}), field("a", "1"), field("n", "1"), field("c", "1"))), false);
  assert.deepEqual(names(old.children[0]), ["I", "a", "n", "c"]);
  assert.deepEqual([old.children[0].children[1], old.children[0].children[3]], [a, c]);
  assert.equal(b.parentElement, null);
});

test("of kept fields that change places on the page the first stays, and the other comes anew", () => {
  const [a, b] = ["a", "b"].map((name) => field(name, "1"));
  const old = page(el("form", {}, a, b));
  for (const each of [a, b]) each.value = "2";
  const fresh = field("b", "1");
  merge(old, el("div", { id: "root" }, el("form", {}, fresh, field("a", "1"))), false);
  assert.deepEqual(old.children[0].children, [fresh, a]);
});

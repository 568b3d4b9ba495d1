import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { el, show, tell } from "./page.mjs";

const fields = await import("../../static/js/forms/fields.js");
const { answering, held, isKept, isTyping, meantBy, name, sending, stay, twins, unsent } = fields;

const text = (value, more = {}) => el("input", { type: "text", name: "x", value, ...more });
const form = (...children) => el("form", { action: "/edit/place" }, ...children);
const type = (field, value) => { field.value = value; tell("input", { target: field }); };

beforeEach(() => show());

test("what is typed is not sent, what is sent is, once it is answered", () => {
  const field = text("10 mm");
  const within = form(field);
  show(within);
  assert.ok(!unsent(field));
  type(field, "12");
  assert.ok(unsent(field));
  const turn = sending(within);
  assert.ok(unsent(field), "no answer on the page knows of it");
  answering(turn, false, within);
  assert.ok(!unsent(field));
  type(field, "13");
  assert.ok(unsent(field));
});

test("what was typed after it was sent is not lost to the answer", () => {
  const field = text("10 mm");
  const within = form(field);
  type(field, "12");
  const turn = sending(within);
  type(field, "125");
  answering(turn, false, within);
  assert.ok(unsent(field));
});

test("what is refused counts as not sent, and only that", () => {
  const [one, other] = [text("1", { name: "one" }), text("2", { name: "two" })];
  const [first, second] = [form(one), form(other)];
  const both = el("div", {}, first, second);
  type(one, "11");
  const before = sending(first);
  type(other, "22");
  const turn = sending(second);
  answering(before, false, both);
  answering(turn, true, both);
  assert.deepEqual([unsent(one), unsent(other)], [false, true]);
});

test("a box and a list are read by what the page gave them", () => {
  const box = el("input", { type: "checkbox", name: "b" });
  const list = el("select", { name: "s" }, el("option", { value: "a" }), el("option", { value: "b", selected: "" }));
  list.value = "b";
  assert.deepEqual([unsent(box), unsent(list)], [false, false]);
  box.checked = true;
  list.value = "a";
  assert.deepEqual([unsent(box), unsent(list)], [true, true]);
  assert.equal(held(box), "true");
});

test("the field with the focus is kept, whatever it holds", () => {
  const field = text("10 mm");
  show(form(field));
  assert.ok(!isKept(field));
  field.focus();
  assert.ok(isKept(field));
});

test("somebody types who went to a field since the request that is answered", () => {
  const field = text("10 mm");
  const within = form(field);
  show(within);
  field.focus();
  const turn = sending(within);
  answering(turn, false, within);
  assert.ok(!isTyping(), "the hand has not moved since");
  type(field, "1");
  assert.ok(isTyping());
});

test("a page tells a field only what nobody typed over", () => {
  const field = text("10 mm");
  show(form(field));
  fields.tell(field, "14 mm");
  assert.equal(field.value, "14 mm");
  assert.ok(!unsent(field), "told is not typed");
  type(field, "15");
  fields.tell(field, "16 mm");
  assert.equal(field.value, "15");
});

test("a field kept only for its focus says what the page says when it is sent", () => {
  const field = text("10 mm");
  show(form(field));
  stay(field);
  field.setAttribute("value", "20 mm"); // the answer on the page, merged round it
  assert.equal(field.value, "10 mm");
  assert.equal(meantBy(field), "20 mm");
  type(field, "11");
  assert.equal(meantBy(field), "11");
});

test("left, a field says what the server made of it", () => {
  const field = text("262 mm");
  show(form(field));
  field.value = "262";
  const turn = sending(field.form);
  answering(turn, false, field.form);
  tell("focusout", { target: field });
  assert.equal(field.value, "262 mm");
  type(field, "26");
  tell("focusout", { target: field });
  assert.equal(field.value, "26", "what is not sent stays as it is typed");
});

test("a field is known again by its form, its name and what the form is about, and not by the view", () => {
  const of = (thing, unit, was) => {
    const field = text("1");
    form(el("input", { type: "hidden", name: "thing", value: thing }), el("input", { type: "hidden", name: "seen", value: unit }),
      el("input", { type: "hidden", name: "x.was", value: was }), field);
    return field;
  };
  assert.equal(name(of("2", "r1", "5")), name(of("2", "r9", "6")));
  assert.notEqual(name(of("2", "r1", "5")), name(of("3", "r1", "5")));
});

test("which parts are selected is of the field only in the card of the selected", () => {
  const of = (id, select) => {
    const field = text("1");
    el("section", { id }, form(el("input", { type: "hidden", name: "select", value: select }), field));
    return field;
  };
  assert.equal(name(of("shop", "a")), name(of("shop", "b")));
  assert.notEqual(name(of("selected", "a")), name(of("selected", "b")));
});

test("what is not on the page that comes has no twin", () => {
  const [here, gone] = [text("1"), text("2", { name: "y" })];
  const old = form(here, gone);
  const fresh = form(text("3"));
  assert.deepEqual([...twins([here, gone], fresh)], [[here, fresh.children[0]]]);
  assert.equal(old.children.length, 2);
});

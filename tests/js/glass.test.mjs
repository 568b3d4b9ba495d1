import assert from "node:assert/strict";
import { test } from "node:test";

import "./page.mjs";

const { measured } = await import("../../static/js/drawing/glass.js");

test("a length is read as a ruler says it", () => {
  const read = {
    104: 104, "10.4 cm": 104, "10,4cm": 104, "104 MM": 104,
    "4 1/8 in": 4.125 * 25.4, '4-1/8"': 4.125 * 25.4, "4.1″": 4.1 * 25.4, "1/2 inch": 12.7, "3 inches": 76.2,
  };
  for (const [text, mm] of Object.entries(read)) assert.ok(Math.abs(measured(text, "mm") - mm) < 1e-9, text);
  assert.equal(measured("4", "inch"), 101.6);
});

test("anything else is no length", () => {
  for (const text of ["", "about ten", "2 m", "1/2/3", "-4", "4 1/8 1/8", "1e3"]) assert.ok(Number.isNaN(measured(text, "mm")), text);
});

import assert from "node:assert/strict";
import { test } from "node:test";

import { REACH, nearestOf } from "../../static/js/drawing/reach.js";

const at = { clientX: 100, clientY: 100 };
const thing = (id, x, y, rim = 0) => ({ id, x, y, rim });

test("a finger means the nearest within reach, and nothing beyond it", () => {
  assert.equal(nearestOf([thing("a", 110, 100), thing("b", 100, 95)], at), "b");
  assert.equal(nearestOf([thing("a", 100 + REACH, 100)], at), "a");
  assert.equal(nearestOf([thing("a", 100 + REACH + 0.1, 100)], at), "");
  assert.equal(nearestOf([], at), "");
});

test("what a finger is on comes before what is only near, however small", () => {
  const large = thing("large", 140, 100, 45); // on it, by 5 px
  assert.equal(nearestOf([large, thing("small", 100, 112, 4)], at), "large");
  assert.equal(nearestOf([large, thing("small", 100, 103, 9)], at), "small");
  assert.equal(nearestOf([thing("wide", 180, 100, 81)], at), "wide"); // its middle is beyond the reach
});

import assert from "node:assert/strict";
import { test } from "node:test";

import { around, beyond, into, isSame, kept, limited, within } from "../../static/js/drawing/sight.js";

const near = (found, wanted) => found.forEach((each, at) => assert.ok(Math.abs(each - wanted[at]) < 1e-9, `${found}`));

test("all of it is seen with more on two sides, evenly, in the shape of the room", () => {
  // 400 × 200 in 800 × 600 px: 2 px for a unit, so 300 units of height, 50 of them above and 50 below.
  near(around([-20, 10, 400, 200], { width: 800, height: 600 }), [-20, 10 - 50, 400, 300]);
  near(around([0, 0, 100, 200], { width: 800, height: 400 }), [-150, 0, 400, 200]);
});

test("what is in view keeps to the whole, and a view larger than it has it in the middle", () => {
  assert.equal(within(50, 0, 100, 40), 50);
  assert.equal(within(5, 0, 100, 40), 20);
  assert.equal(within(99, 0, 100, 40), 80);
  assert.equal(within(5, -30, 100, 140), 20);
});

test("a place keeps its place on screen at another scale", () => {
  const [middle, off, before, after] = [120, 77, 1.3, 4.1];
  const place = middle + off / before; // what lies there now
  near([(place - kept(middle, off, before, after)) * after], [off]);
});

test("a scale ends where all is in view, and at twelve times that, unless another one is wanted", () => {
  assert.equal(limited(1, 2), 2);
  assert.equal(limited(5, 2), 5);
  assert.equal(limited(99, 2), 24);
  assert.equal(limited(1, 2, 1.5), 1.5);
  assert.equal(limited(99, 2, 40), 40);
});

test("scales a thousandth apart are the same, on both sides", () => {
  assert.ok(isSame(1.0009, 1) && isSame(1, 1.0009));
  assert.ok(!isSame(1.0011, 1) && !isSame(1, 1.0011));
});

test("a drag goes on only in the margin, the faster the deeper, and no faster than can be followed", () => {
  const box = { left: 100, right: 500, top: 0, bottom: 300 };
  near(beyond({ clientX: 300, clientY: 150 }, box), [0, 0]);
  near(beyond({ clientX: 500 - 28, clientY: 28 }, box), [0, 0]);
  near(beyond({ clientX: 500 - 8, clientY: 150 }, box), [20 * 0.35, 0]);
  near(beyond({ clientX: 100 + 8, clientY: 300 - 18 }, box), [-20 * 0.35, 10 * 0.35]);
  near(beyond({ clientX: 900, clientY: -500 }, box), [14, -14]);
});

test("something is brought into view no farther than its nearer edge", () => {
  const box = { left: 0, right: 400, top: 0, bottom: 200 };
  const at = (left, top) => ({ left, right: left + 20, top, bottom: top + 20 });
  near(into(at(50, 50), box, 12), [0, 0]);
  near(into(at(-40, 190), box, 12), [52, 200 - 12 - 210]);
});

import assert from "node:assert/strict";
import { test } from "node:test";

import { drawn } from "../../static/js/drawing/snapping.js";

const named = { x: [10, 12], y: [-4], grid: [1, 0.25, -0.5], hold: [3] };

test("the nearest place within reach takes hold, on each axis for itself", () => {
  assert.deepEqual(drawn({ dx: 10.9, dy: 39.8 }, named, 1), { dx: 10, dy: 40 - 0.5 });
  assert.deepEqual(drawn({ dx: 11.2, dy: -6.9 }, named, 1), { dx: 12, dy: -4 });
});

test("beyond the reach the grid does, counted from its own first line", () => {
  assert.deepEqual(drawn({ dx: 15.1, dy: -7.1 }, named, 1), { dx: 15.25, dy: -7.5 }); // 3.1 from 12, and from -4
  assert.deepEqual(drawn({ dx: 6.7, dy: 0.2 }, { ...named, x: [], y: [] }, 1), { dx: 6 + 0.25, dy: 1 - 0.5 });
});

test("the reach is 5 px of the screen, and never more than the server says", () => {
  assert.equal(drawn({ dx: 14.4, dy: 0 }, named, 2).dx, 12); // 2.4 mm are 4.8 px: within
  assert.equal(drawn({ dx: 14.6, dy: 0 }, named, 2).dx, 14.25); // 2.6 mm are 5.2 px: beyond
  assert.equal(drawn({ dx: 14.9, dy: 0 }, named, 0.5).dx, 12); // 2.9 mm are 1.45 px
  assert.equal(drawn({ dx: 15.1, dy: 0 }, named, 0.5).dx, 15.25); // 1.55 px, but more than 3 mm
  assert.equal(drawn({ dx: 14.4, dy: 0 }, named, -2).dx, 12); // a mirrored drawing
});

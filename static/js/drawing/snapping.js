// Where a part in the hand is drawn to: the server names places as shifts, here the nearest number is picked, and no more.

const HOLD = 5; // px within which a place the server named takes hold

/**
 * The shift that a shift is drawn to, on each axis to the nearest place within reach, or else to the grid.
 *
 * @param to shift dx, dy of the hand, in the drawing's coordinates
 * @param named shifts x and y that draw it; the grid: its step and how far its first lines are; how far a place reaches
 * @param scale px for a unit of the drawing
 */
export function drawn({ dx, dy }, { x, y, grid: [step, firstX, firstY], hold: [most] }, scale) {
  const reach = Math.min(most, HOLD / Math.abs(scale));
  return { dx: nearest(dx, x, reach, step, firstX), dy: nearest(dy, y, reach, step, firstY) };
}

function nearest(value, places, reach, step, first) {
  const best = places.reduce((near, place) => (Math.abs(place - value) < Math.abs(near - value) ? place : near), Infinity);
  return Math.abs(best - value) <= reach ? best : first + Math.round((value - first) / step) * step;
}

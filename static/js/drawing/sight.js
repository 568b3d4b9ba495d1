// What is in view of a drawing, in numbers: boxes [x, y, width, height] in its own units, places on screen in px.

const CLOSEST = 12; // times the scale at which all of it is in view
const SAME = 1.001; // scales nearer to each other than this are the same
const MARGIN = 28; // px from the edge of the drawing within which a drag moves the view
const PACE = 0.35; // px of the view for each px into the margin, in a frame
const FASTEST = 14; // px in a frame

/** What all of a drawing is seen with: more than the whole on two sides, as the room for it is of another shape. */
export function around([x, y, width, height], room) {
  const fit = Math.min(room.width / width, room.height / height);
  const [wide, high] = [room.width / fit, room.height / fit];
  return [x - (wide - width) / 2, y - (high - height) / 2, wide, high];
}

/** The middle of a stretch that is in view, so that no more than need be beside the whole is. */
export function within(middle, start, length, view) {
  if (view >= length) return start + length / 2;
  return Math.min(Math.max(middle, start + view / 2), start + length - view / 2);
}

/** A scale within the limits: all of it in view, and close; a scale that is wanted may be reached beyond either. */
export function limited(scale, fit, wanted = 0) {
  const least = wanted ? Math.min(fit, wanted) : fit;
  return Math.min(Math.max(scale, least), Math.max(CLOSEST * fit, wanted));
}

/** Whether two scales cannot be told apart. */
export const isSame = (one, other) => one < other * SAME && one > other / SAME;

/** Where the middle is at another scale, so that what is `off` px from the middle on screen stays there. */
export const kept = (middle, off, before, after) => middle + off / before - off / after;

/** How far a place on screen is in the margin of a box, to the right and down: what a drag moves the view by [px for a frame]. */
export function beyond({ clientX, clientY }, box) {
  const into = (at, low, high) => (Math.max(0, at - (high - MARGIN)) - Math.max(0, low + MARGIN - at)) * PACE;
  const most = (step) => Math.max(-FASTEST, Math.min(FASTEST, step));
  return [most(into(clientX, box.left, box.right)), most(into(clientY, box.top, box.bottom))];
}

/** How far a box on screen has to move to lie within another, but for a rim [px]; no farther than need be. */
export function into(it, box, rim) {
  const off = (low, high, start, end) => (low < start ? start - low : high > end ? end - high : 0);
  return [
    off(it.left, it.right, box.left + rim, box.right - rim), off(it.top, it.bottom, box.top + rim, box.bottom - rim),
  ];
}

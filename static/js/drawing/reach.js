// What a pointer means: a mouse what it points at, a finger the nearest within reach of it.

/** Round the middle of a thing, how far off a finger means it [px]: a target of 44 px. */
export const REACH = 22;

/** Id of the part a pointer means; empty if it means the bare board. */
export function meant(svg, event) {
  const under = event.target.closest?.("[data-placement]")?.dataset.placement ?? "";
  return event.pointerType === "touch" ? nearest(svg, event) || under : under;
}

/** Id of the part a finger at a place on screen means: one it is on, or else the nearest. */
export function nearest(svg, at) {
  const onScreen = svg.getScreenCTM();
  return nearestOf([...svg.querySelectorAll("#parts [data-at]")].map((group) => {
    const [left, top, radius] = group.dataset.at.split(" ").map(Number);
    const { x, y } = new DOMPoint(left, top).matrixTransform(onScreen);
    return { id: group.dataset.placement, x, y, rim: radius * onScreen.a };
  }), at);
}

/** Id of the nearest of several things on screen, each with its middle and how far its rim is from that [px]. */
export function nearestOf(things, { clientX, clientY }) {
  let best = { far: Infinity, id: "" };
  for (const { id, x, y, rim } of things) {
    const apart = Math.hypot(x - clientX, y - clientY);
    if (apart <= Math.max(rim, REACH) && apart - rim < best.far) best = { far: apart - rim, id };
  }
  return best.id;
}

// Which part a pointer means: a mouse what it points at, a finger the nearest within reach of it.

const REACH = 22; // px round the middle of a part within which a finger means it: a target of 44 px

/** Id of the part a pointer means; empty if it means the bare board. */
export function meant(svg, event) {
  const under = event.target.closest?.("[data-placement]")?.dataset.placement ?? "";
  return event.pointerType === "touch" ? nearest(svg, event) || under : under;
}

/** Id of the part a finger at a place on screen means: one it is on, or else the nearest. */
export function nearest(svg, { clientX, clientY }) {
  const onScreen = svg.getScreenCTM();
  let best = { far: Infinity, id: "" };
  for (const group of svg.querySelectorAll("#parts [data-at]")) {
    const [x, y, radius] = group.dataset.at.split(" ").map(Number);
    const { x: left, y: top } = new DOMPoint(x, y).matrixTransform(onScreen);
    const apart = Math.hypot(left - clientX, top - clientY);
    const rim = radius * onScreen.a;
    if (apart <= Math.max(rim, REACH) && apart - rim < best.far) best = { far: apart - rim, id: group.dataset.placement };
  }
  return best.id;
}

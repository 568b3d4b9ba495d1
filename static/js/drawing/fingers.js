// Fingers on the drawing: two move it and make it larger or smaller, and never edit; one moves it when it is not all in
// view. Browsers do not heed touch-action inside a drawing, so what is ours is kept from scrolling by hand.

import { drawing, selection } from "../bench.js";
import { adds, isBoxing } from "./drag.js";
import { isMoving } from "./hand.js";
import { TREMBLE } from "./press.js";
import { nearest } from "./reach.js";
import { isZoomed, panBy, scaleNow, zoomTo } from "./zoom.js";

const down = new Map(); // the fingers on the drawing, by pointer: where they are, and whether they have moved

document.addEventListener("touchstart", (event) => {
  const svg = event.target.closest?.("#board-svg");
  if (!svg) return;
  const ours = event.touches.length > 1 || isZoomed() || selection().includes(nearest(svg, event.touches[0]));
  if (ours && event.cancelable) event.preventDefault();
}, { passive: false });

document.addEventListener("touchmove", (event) => {
  if (!event.target.closest?.("#board-svg") || !event.cancelable) return;
  if (event.touches.length > 1 || isBoxing() || isMoving()) event.preventDefault();
}, { passive: false });

// Held long, a finger would open the browser's own menu over the selection box.
document.addEventListener("contextmenu", (event) => {
  if (isBoxing() && down.size && event.target.closest?.("#board-svg")) event.preventDefault();
});

document.addEventListener("pointerdown", (event) => {
  if (event.pointerType !== "touch" || !event.target.closest?.("#board-svg")) return;
  if (event.isPrimary) down.clear(); // a finger whose end was never told
  down.set(event.pointerId, { x: event.clientX, y: event.clientY, moved: false });
  if (down.size > 1) down.forEach((finger) => { finger.moved = true; });
});

document.addEventListener("pointermove", (event) => {
  const finger = down.get(event.pointerId);
  if (!finger || !drawing()) return;
  const [right, back] = [event.clientX - finger.x, event.clientY - finger.y];
  if (!finger.moved && Math.hypot(right, back) <= TREMBLE) return;
  finger.moved = true;
  const pair = [...down.keys()].slice(0, 2);
  if (pair.length === 2) {
    if (pair.includes(event.pointerId)) pinch(pair.map((id) => down.get(id)), finger, event);
  } else if (!isMoving() && !isBoxing()) {
    panBy(right, back, { soon: true });
  }
  Object.assign(finger, { x: event.clientX, y: event.clientY });
});

// About the place between the two, which moves with them.
function pinch(pair, finger, to) {
  const before = between(pair);
  const after = between(pair.map((each) => (each === finger ? { x: to.clientX, y: to.clientY } : each)));
  if (before.apart < 1) return;
  zoomTo(scaleNow() * after.apart / before.apart, { clientX: before.x, clientY: before.y }, { soon: true });
  panBy(after.x - before.x, after.y - before.y, { soon: true });
}

const between = ([a, b]) => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, apart: Math.hypot(a.x - b.x, a.y - b.y) });

for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, (event) => { down.delete(event.pointerId); });
}

// -- adding without Shift ----------------------------------------------------------------------------------

function showAdds() {
  document.querySelector('#view-bar [data-view="add"]')?.setAttribute("aria-pressed", String(adds()));
}

document.addEventListener("click", (event) => {
  if (!event.target.closest?.('#view-bar [data-view="add"]')) return;
  adds(!adds());
  showAdds();
});
document.addEventListener("htmx:afterSwap", showAdds);

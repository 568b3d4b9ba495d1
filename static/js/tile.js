// An item of hardware dragged from the list on to the board; a plain press adds it where there is room.

import { change, drawing, placeOf } from "./bench.js";

const STILL = 6;

let drag = null;

document.addEventListener("pointerdown", (event) => {
  const tile = event.target.closest?.(".tile");
  if (!tile || event.button !== 0 || !event.isPrimary) return;
  drag = { tile, pointer: event.pointerId, x: event.clientX, y: event.clientY, ghost: null };
});

document.addEventListener("pointermove", (event) => {
  if (!drag || event.pointerId !== drag.pointer || !drawing()) return;
  if (!drag.ghost) {
    if (Math.hypot(event.clientX - drag.x, event.clientY - drag.y) <= STILL) return;
    drag.ghost = drag.tile.querySelector("img").cloneNode();
    drag.ghost.className = "ghost";
    // As large as it will be on the board.
    const size = Number(drag.ghost.dataset.width) * drawing().getScreenCTM().a;
    Object.assign(drag.ghost.style, { width: `${size}px`, height: `${size}px` });
    swallowClick(drag.tile);
    document.body.append(drag.ghost);
    drag.tile.setPointerCapture(event.pointerId);
  }
  drag.ghost.style.left = `${event.clientX}px`;
  drag.ghost.style.top = `${event.clientY}px`;
  drawing().classList.toggle("landing", isOver(drawing(), event));
});

document.addEventListener("pointerup", (event) => {
  if (!drag || event.pointerId !== drag.pointer) return;
  const { ghost, tile } = drag;
  end();
  if (!ghost) return;
  const svg = drawing();
  if (!isOver(svg, event)) return;
  const to = placeOf(svg, event);
  change("/edit/add", { part: tile.value, x: to.x, y: -to.y });
});

document.addEventListener("pointercancel", end);
document.addEventListener("keydown", (event) => { if (event.key === "Escape") end(); });

// However the drag ends, the browser may make a click on the tile of it, which would add one more.
function swallowClick(tile) {
  const swallow = (click) => { click.preventDefault(); click.stopPropagation(); };
  tile.addEventListener("click", swallow, { once: true, capture: true });
  document.addEventListener("pointerdown", () => tile.removeEventListener("click", swallow, { capture: true }),
    { once: true, capture: true });
}

function end() {
  drag?.ghost?.remove();
  drag = null;
  drawing()?.classList.remove("landing");
}

function isOver(element, event) {
  const { left, right, top, bottom } = element.getBoundingClientRect();
  return event.clientX > left && event.clientX < right && event.clientY > top && event.clientY < bottom;
}

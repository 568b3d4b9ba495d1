// An item of hardware dragged from the list on to the board; a plain press adds it where there is room.

import { change, drawing, placeOf } from "../bench.js";
import { usePresses } from "./press.js";

usePresses({ begin, moved, ended, released });

function begin(event) {
  const tile = event.target.closest?.(".tile");
  return tile ? { tile, ghost: null } : null;
}

function moved(press, event, still) {
  const svg = drawing();
  if (!svg || (still && !press.ghost)) return;
  press.ghost ??= lifted(press.tile, event.pointerId);
  press.ghost.style.left = `${event.clientX}px`;
  press.ghost.style.top = `${event.clientY}px`;
  svg.classList.toggle("landing", isOver(svg, event));
}

function lifted(tile, pointer) {
  const ghost = tile.querySelector("[data-width]").cloneNode(true);
  ghost.setAttribute("class", "ghost");
  // As large as it will be on the board.
  const size = Number(ghost.dataset.width) * drawing().getScreenCTM().a;
  Object.assign(ghost.style, { width: `${size}px`, height: `${size}px` });
  swallowClick(tile);
  document.body.append(ghost);
  tile.setPointerCapture(pointer);
  return ghost;
}

function ended({ tile, ghost }, event) {
  const svg = drawing();
  if (!ghost || !svg || !isOver(svg, event)) return;
  const to = placeOf(svg, event);
  change("/edit/add", { part: tile.value, x: to.x, y: -to.y });
}

function released({ ghost }) {
  ghost?.remove();
  drawing()?.classList.remove("landing");
}

// However the drag ends, the browser may make a click on the tile of it, which would add one more.
function swallowClick(tile) {
  const swallow = (click) => { click.preventDefault(); click.stopPropagation(); };
  tile.addEventListener("click", swallow, { once: true, capture: true });
  document.addEventListener("pointerdown", () => tile.removeEventListener("click", swallow, { capture: true }),
    { once: true, capture: true });
}

function isOver(element, event) {
  const { left, right, top, bottom } = element.getBoundingClientRect();
  return event.clientX > left && event.clientX < right && event.clientY > top && event.clientY < bottom;
}

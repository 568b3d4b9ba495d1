// The pointer on the drawing: press selects, drag moves, a drag on the bare board draws a selection box.

import { bench, drawing, look, placeOf, selection } from "./bench.js";
import { isPanning } from "./zoom.js";
import { isMoving, moveTo, putBack, putDown, takeUp } from "./moving.js";

const STILL = 4; // px a pressed pointer may tremble before it is a drag

let press = null;

document.addEventListener("pointerdown", (event) => {
  if (press) return cancel(); // a second finger never edits
  const svg = event.target.closest?.("#board-svg");
  if (!svg || event.button !== 0 || !event.isPrimary || isPanning()) return;
  const group = event.target.closest("[data-placement]");
  const id = group?.dataset.placement ?? "";
  // A finger may be on its way to scroll: it drags only what it has selected before.
  const mayDrag = event.pointerType !== "touch" || selection().includes(id);
  press = {
    svg, id, mayDrag, pointer: event.pointerId, shift: event.shiftKey, touch: event.pointerType === "touch",
    x: event.clientX, y: event.clientY, from: placeOf(svg, event), box: null,
  };
  if (mayDrag) svg.setPointerCapture(event.pointerId);
});

document.addEventListener("pointermove", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  const far = Math.hypot(event.clientX - press.x, event.clientY - press.y) > STILL;
  if (press.id && press.mayDrag) {
    if (!isMoving() && (!far || !takeUp(press.id))) return;
    const to = placeOf(press.svg, event);
    moveTo(to.x - press.from.x, to.y - press.from.y, event.altKey);
  } else if (!press.id && !press.touch && (far || press.box)) {
    drawBox(event);
  }
});

document.addEventListener("pointerup", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  const { id, shift, box, x, y } = press;
  const still = Math.hypot(event.clientX - x, event.clientY - y) <= STILL;
  press = null;
  if (isMoving()) return putDown();
  if (box) return chooseInside(box, shift);
  if (!still) return undefined;
  if (id) return select(id, shift);
  if (!shift && selection().length) return look({ select: "" });
  return undefined;
});

document.addEventListener("pointercancel", cancel);

/** Let go of everything; true if there was anything. */
export function cancel() {
  const had = press !== null || isMoving();
  press?.box?.remove();
  press = null;
  if (isMoving()) putBack();
  return had;
}

/** Select a part, or with shift add it to the selection or take it out. */
export function select(id, adding) {
  const chosen = selection();
  if (!adding) return chosen.length === 1 && chosen[0] === id ? undefined : look({ select: id });
  const rest = chosen.filter((other) => other !== id);
  return look({ select: (rest.length === chosen.length ? [...chosen, id] : rest).join(",") });
}

function drawBox(event) {
  press.box ??= document.body.appendChild(Object.assign(document.createElement("div"), { className: "lasso" }));
  const { style } = press.box;
  style.left = `${Math.min(press.x, event.clientX)}px`;
  style.top = `${Math.min(press.y, event.clientY)}px`;
  style.width = `${Math.abs(event.clientX - press.x)}px`;
  style.height = `${Math.abs(event.clientY - press.y)}px`;
}

function chooseInside(box, adding) {
  const area = box.getBoundingClientRect();
  box.remove();
  const inside = [...drawing().querySelectorAll("#parts [data-placement]")].filter((group) => {
    const { left, right, top, bottom } = group.getBoundingClientRect();
    const [x, y] = [(left + right) / 2, (top + bottom) / 2];
    return x > area.left && x < area.right && y > area.top && y < area.bottom;
  }).map((group) => group.dataset.placement);
  const before = adding ? selection() : [];
  return look({ select: [...new Set([...before, ...inside])].join(",") });
}

// The browser's own drag of pictures and text would take the pointer away.
document.addEventListener("dragstart", (event) => {
  if (bench()?.contains(event.target)) event.preventDefault();
});

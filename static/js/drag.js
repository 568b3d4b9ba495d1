// The pointer on the drawing: press selects, drag moves, a drag on the bare board draws a selection box.
// A finger that is held still on the bare board draws one as well; else it scrolls the page, or moves the view.

import { bench, drawing, look, placeOf, selection } from "./bench.js";
import { isMoving, moveTo, putBack, putDown, takeUp } from "./moving.js";
import { meant } from "./reach.js";
import { isPanning, isZoomed, panBy } from "./zoom.js";

const STILL = 4; // px a pressed pointer may tremble before it is a drag
const TREMBLE = 10; // px a finger may
const HELD = 350; // ms
const MARGIN = 28; // px from the edge of the drawing within which a drag moves the view
const PACE = 0.35; // px of the view for each px into the margin, in a frame
const FASTEST = 14; // px in a frame

let press = null;
let adding = false; // as if Shift were held: for hands without keys

/** Whether presses add to the selection without Shift; given a value, from now on. */
export function adds(value = adding) {
  adding = value;
  return adding;
}

/** Whether a finger draws a selection box, so that nothing may scroll. */
export const isBoxing = () => Boolean(press?.ready);

document.addEventListener("pointerdown", (event) => {
  if (press) return cancel(); // a second finger never edits
  const svg = event.target.closest?.("#board-svg");
  if (!svg || event.button !== 0 || !event.isPrimary || isPanning()) return;
  const touch = event.pointerType === "touch";
  const id = meant(svg, event);
  // A finger may be on its way to scroll: it drags only what it has selected before.
  const mayDrag = !touch || selection().includes(id);
  press = {
    svg, id, mayDrag, touch, pointer: event.pointerId, shift: event.shiftKey || adding, ready: !touch && !id,
    x: event.clientX, y: event.clientY, from: placeOf(svg, event), box: null, mark: null, timer: 0,
  };
  if (mayDrag) svg.setPointerCapture(event.pointerId);
  if (touch && !id) press.timer = setTimeout(hold, HELD);
});

// Held still: the mark says that a box can be drawn now.
function hold() {
  press.ready = true;
  press.mark = document.body.appendChild(Object.assign(document.createElement("div"), { className: "hold-mark" }));
  Object.assign(press.mark.style, { left: `${press.x}px`, top: `${press.y}px` });
}

document.addEventListener("pointermove", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  const far = Math.hypot(event.clientX - press.x, event.clientY - press.y);
  const still = far <= (press.touch ? TREMBLE : STILL);
  if (press.touch && !still && !press.ready) clearTimeout(press.timer);
  if (press.id && press.mayDrag) {
    if (!isMoving() && (still || !takeUp(press.id))) return;
    carry(event);
    follow(event);
  } else if (press.ready && (!still || press.box)) {
    drawBox(event);
  }
});

function carry(event) {
  const to = placeOf(press.svg, event);
  moveTo(to.x - press.from.x, to.y - press.from.y, event.altKey);
}

// At the edge of a view of only a part of the board, the view goes on under the hand, for as long as it is there.
function follow(event) {
  press.last = event;
  press.going ||= requestAnimationFrame(function on() {
    if (!press || !isMoving()) return;
    const [right, down] = beyond(press.svg, press.last);
    press.going = right || down ? requestAnimationFrame(on) : 0;
    if (!press.going) return;
    const before = press.svg.getAttribute("viewBox");
    panBy(-right, -down);
    if (press.svg.getAttribute("viewBox") !== before) carry(press.last);
  });
}

/** How far a pointer is into the margin of a drawing that is not all in view, to the right and down [px for a frame]. */
function beyond(svg, { clientX, clientY }) {
  if (!isZoomed()) return [0, 0];
  const box = svg.getBoundingClientRect();
  const into = (at, low, high) => (Math.max(0, at - (high - MARGIN)) - Math.max(0, low + MARGIN - at)) * PACE;
  const kept = (step) => Math.max(-FASTEST, Math.min(FASTEST, step));
  return [kept(into(clientX, box.left, box.right)), kept(into(clientY, box.top, box.bottom))];
}

document.addEventListener("pointerup", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  const { id, shift, box, x, y, touch, ready } = press;
  const still = Math.hypot(event.clientX - x, event.clientY - y) <= (touch ? TREMBLE : STILL);
  release();
  if (isMoving()) return putDown();
  if (box) return chooseInside(box, shift);
  if (!still || (touch && ready)) return undefined;
  if (id) return select(id, shift);
  if (!shift && selection().length) return look({ select: "" });
  return undefined;
});

document.addEventListener("pointercancel", cancel);

function release() {
  clearTimeout(press?.timer);
  press?.mark?.remove();
  press = null;
}

/** Let go of everything; true if there was anything. */
export function cancel() {
  const had = press !== null || isMoving();
  press?.box?.remove();
  release();
  if (isMoving()) putBack();
  return had;
}

/** Select a part, or with shift add it to the selection or take it out. */
export function select(id, more) {
  const chosen = selection();
  if (!more) return chosen.length === 1 && chosen[0] === id ? undefined : look({ select: id });
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

function chooseInside(box, more) {
  const area = box.getBoundingClientRect();
  box.remove();
  const onScreen = drawing().getScreenCTM();
  const inside = [...drawing().querySelectorAll("#parts [data-at]")].filter((group) => {
    const [left, top] = group.dataset.at.split(" ").map(Number);
    const { x, y } = new DOMPoint(left, top).matrixTransform(onScreen);
    return x > area.left && x < area.right && y > area.top && y < area.bottom;
  }).map((group) => group.dataset.placement);
  const before = more ? selection() : [];
  return look({ select: [...new Set([...before, ...inside])].join(",") });
}

// The browser's own drag of pictures and text would take the pointer away.
document.addEventListener("dragstart", (event) => {
  if (bench()?.contains(event.target)) event.preventDefault();
});

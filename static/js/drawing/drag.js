// The pointer on the drawing: press selects, drag moves, a drag on the bare board draws a selection box.
// A finger that is held still on the bare board draws one as well; else it scrolls the page, or moves the view.

import { bench, drawing, look, selection } from "../bench.js";
import { isMoving } from "./hand.js";
import { takeUp } from "./moving.js";
import { carry, pressed, usePresses } from "./press.js";
import { meant } from "./reach.js";
import { beyond } from "./sight.js";
import { isPanning, isZoomed, panBy } from "./zoom.js";

const HELD = 350; // ms

let adding = false; // as if Shift were held: for hands without keys

/** Whether presses add to the selection without Shift; given a value, from now on. */
export function adds(value = adding) {
  adding = value;
  return adding;
}

/** Whether a finger draws a selection box, so that nothing may scroll. */
export const isBoxing = () => Boolean(pressed()?.ready);

usePresses({ drawing, takeUp, begin, carried: follow, moved, ended, released });

function begin(event) {
  const svg = event.target.closest?.("#board-svg");
  if (!svg || isPanning()) return null;
  const touch = event.pointerType === "touch";
  const part = meant(svg, event);
  // A finger may be on its way to scroll: it drags only what it has selected before.
  const id = !touch || selection().includes(part) ? part : "";
  if (id || !touch) svg.setPointerCapture(event.pointerId);
  const timer = touch && !part ? setTimeout(hold, HELD) : 0;
  return { id, part, shift: event.shiftKey || adding, ready: !touch && !part, box: null, mark: null, timer };
}

// Held still: the mark says that a box can be drawn now.
function hold() {
  const press = pressed();
  press.ready = true;
  press.mark = document.body.appendChild(Object.assign(document.createElement("div"), { className: "hold-mark" }));
  Object.assign(press.mark.style, { left: `${press.clientX}px`, top: `${press.clientY}px` });
}

function moved(press, event, still) {
  if (press.touch && !still && !press.ready) clearTimeout(press.timer);
  if (press.ready && (!still || press.box)) drawBox(press, event);
}

function ended({ part, shift, area, touch, ready }, event, still) {
  if (area) return chooseInside(area, shift);
  if (!still || (touch && ready)) return undefined;
  if (part) return select(part, shift);
  if (!shift && selection().length) return look({ select: "" });
  return undefined;
}

function released({ timer, mark, box }) {
  clearTimeout(timer);
  mark?.remove();
  box?.remove();
}

// At the edge of a view of only a part of the board, the view goes on under the hand, for as long as it is there.
function follow(press) {
  press.going ||= requestAnimationFrame(function on() {
    if (pressed() !== press || !isMoving()) return;
    const [right, down] = isZoomed() ? beyond(press.last, drawing().getBoundingClientRect()) : [0, 0];
    press.going = right || down ? requestAnimationFrame(on) : 0;
    if (!press.going) return;
    const before = drawing().getAttribute("viewBox");
    panBy(-right, -down);
    if (drawing().getAttribute("viewBox") !== before) carry();
  });
}

/** Select a part, or with shift add it to the selection or take it out. */
export function select(id, more) {
  const chosen = selection();
  if (!more) return chosen.length === 1 && chosen[0] === id ? undefined : look({ select: id });
  const rest = chosen.filter((other) => other !== id);
  return look({ select: (rest.length === chosen.length ? [...chosen, id] : rest).join(",") });
}

function drawBox(press, { clientX, clientY }) {
  press.box ??= document.body.appendChild(Object.assign(document.createElement("div"), { className: "lasso" }));
  const { style } = press.box;
  press.area = {
    left: Math.min(press.clientX, clientX), right: Math.max(press.clientX, clientX),
    top: Math.min(press.clientY, clientY), bottom: Math.max(press.clientY, clientY),
  };
  style.left = `${press.area.left}px`;
  style.top = `${press.area.top}px`;
  style.width = `${press.area.right - press.area.left}px`;
  style.height = `${press.area.bottom - press.area.top}px`;
}

function chooseInside(area, more) {
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

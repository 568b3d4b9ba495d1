// Looking closer: the wheel zooms at the pointer; the middle button, or the space bar held, moves the view.

import { drawing, placeOf } from "./bench.js";

const CLOSEST = 12; // times

let window_ = null; // what is in view: x, y, width, height in the drawing's coordinates; null for all of it
let pan = null;

const boxOf = (svg) => svg.getAttribute("viewBox").split(" ").map(Number);

function show(svg) {
  svg.dataset.whole ??= svg.getAttribute("viewBox");
  svg.setAttribute("viewBox", window_ ? window_.join(" ") : svg.dataset.whole);
  document.getElementById("whole").hidden = !window_;
}

document.addEventListener("wheel", (event) => {
  const svg = event.target.closest?.("#board-svg");
  if (!svg) return;
  event.preventDefault();
  svg.dataset.whole ??= svg.getAttribute("viewBox");
  const [wholeX, wholeY, wholeWidth, wholeHeight] = svg.dataset.whole.split(" ").map(Number);
  const [x, y, width] = boxOf(svg);
  const at = placeOf(svg, event);
  const wide = Math.min(wholeWidth, Math.max(wholeWidth / CLOSEST, width * Math.exp(event.deltaY * 0.0015)));
  const times = wide / width;
  window_ = wide >= wholeWidth * 0.999 ? null : [
    Math.max(wholeX, Math.min(at.x - (at.x - x) * times, wholeX + wholeWidth - wide)),
    Math.max(wholeY, Math.min(at.y - (at.y - y) * times, wholeY + wholeHeight * (1 - wide / wholeWidth))),
    wide, wholeHeight * wide / wholeWidth,
  ];
  show(svg);
}, { passive: false });

document.addEventListener("pointerdown", (event) => {
  const svg = event.target.closest?.("#board-svg");
  if (!svg || !window_ || !(event.button === 1 || isPanning())) return;
  event.preventDefault();
  pan = { svg, pointer: event.pointerId, from: placeOf(svg, event) };
  svg.setPointerCapture(event.pointerId);
});

document.addEventListener("pointermove", (event) => {
  if (!pan || event.pointerId !== pan.pointer) return;
  const at = placeOf(pan.svg, event);
  window_ = [window_[0] - (at.x - pan.from.x), window_[1] - (at.y - pan.from.y), window_[2], window_[3]];
  show(pan.svg);
});

for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => { pan = null; });

/** Whether the space bar is held to move the view. */
export const isPanning = () => document.documentElement.dataset.panning === "yes";

document.addEventListener("keydown", (event) => {
  if (event.key !== " " || event.target.closest?.("input, select, textarea, button, a, summary, [data-placement]")) return;
  if (!drawing()) return;
  event.preventDefault();
  document.documentElement.dataset.panning = "yes";
});
document.addEventListener("keyup", (event) => {
  if (event.key === " ") delete document.documentElement.dataset.panning;
});

document.addEventListener("click", (event) => {
  if (!event.target.closest?.("#whole")) return;
  window_ = null;
  show(drawing());
});

// The bench was exchanged: keep looking at the same place, unless it is another drawing.
let whole = "";
document.addEventListener("htmx:beforeSwap", () => { whole = drawing()?.dataset.whole ?? ""; });
document.addEventListener("htmx:afterSwap", () => {
  const svg = drawing();
  if (!svg || !window_ || svg.dataset.whole) return;
  const [, , width] = svg.getAttribute("viewBox").split(" ").map(Number);
  if (Math.abs(width - Number(whole.split(" ")[2])) > 0.01) window_ = null;
  show(svg);
});

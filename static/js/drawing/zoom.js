// What is in view of the drawing: all of it, or a part at some scale. The wheel zooms at the pointer; the middle
// button, or the space bar held, moves the view. Pixels only: nothing here knows what is drawn.

import { bench, drawing } from "../bench.js";
import { around as aroundWhole, into, isSame, kept, limited, within } from "./sight.js";

let seen = null; // null: all of it; else the scale [px for a unit of the drawing] and the place in the middle
let pan = null;
let frame = 0; // in which it will be shown
let on = null; // the drawing it was last shown on
let wanted = 0; // a scale somebody wants to reach, though it be beyond the limits

/** The scale at which all of the drawing is in view. */
export function fitting(svg = drawing()) {
  const box = svg.getBoundingClientRect();
  return box.width / around(svg, box)[2];
}

/** The scale now [px for a unit of the drawing]. */
export const scaleNow = () => (seen ? seen.scale : fitting());

/** Whether only a part of the drawing is in view, so that the view can be moved. */
export const isZoomed = () => Boolean(seen && drawing() && seen.scale > fitting() && !isSame(seen.scale, fitting()));

/** Whether all of the drawing is in view, as large as can be. */
export const isWhole = () => !seen;

/** Let the scale reach this, even where it is smaller than all of it or larger than the closest. */
export function allow(scale) {
  wanted = scale;
}

const whole = (svg) => (svg.dataset.whole ??= svg.getAttribute("viewBox")).split(" ").map(Number);
const around = (svg, box) => aroundWhole(whole(svg), box);

function show(svg = drawing()) {
  cancelAnimationFrame(frame);
  frame = 0;
  if (!svg) return;
  on = svg;
  if (seen) {
    const box = svg.getBoundingClientRect();
    const [x, y, width, height] = around(svg, box);
    const [wide, high] = [box.width / seen.scale, box.height / seen.scale];
    seen.x = within(seen.x, x, width, wide);
    seen.y = within(seen.y, y, height, high);
    svg.setAttribute("viewBox", [seen.x - wide / 2, seen.y - high / 2, wide, high].join(" "));
  } else {
    whole(svg);
    svg.setAttribute("viewBox", svg.dataset.whole);
  }
  document.documentElement.toggleAttribute("data-zoomed", isZoomed());
  document.dispatchEvent(new CustomEvent("holewise:view"));
}

/** Take a scale, with what lies under a place on screen staying there; without one the middle stays. */
export function zoomTo(scale, at, { soon = false } = {}) {
  const svg = drawing();
  const box = svg.getBoundingClientRect();
  const [x, y, width, height] = around(svg, box);
  const fit = box.width / width;
  const to = limited(scale, fit, wanted);
  const now = seen ?? { scale: fit, x: x + width / 2, y: y + height / 2 };
  const [right, down] = at ? [at.clientX - box.left - box.width / 2, at.clientY - box.top - box.height / 2] : [0, 0];
  seen = isSame(to, fit) ? null : { scale: to, x: kept(now.x, right, now.scale, to), y: kept(now.y, down, now.scale, to) };
  if (soon) showSoon();
  else show(svg);
}

// While a hand moves, once for each picture that the browser paints, however often the hand is heard of.
function showSoon() {
  frame ||= requestAnimationFrame(() => { show(); });
}

/** Show all of it. */
export function showWhole() {
  seen = null;
  show();
}

/** Move what is in view by so many pixels. */
export function panBy(right, down, { soon = false } = {}) {
  if (!isZoomed()) return;
  seen.x -= right / seen.scale;
  seen.y -= down / seen.scale;
  if (soon) showSoon();
  else show();
}

/** Move the view no farther than brings an element of the drawing into it. */
export function bringIntoView(element) {
  if (!isZoomed() || !element) return;
  if (frame) show();
  const [right, down] = into(element.getBoundingClientRect(), drawing().getBoundingClientRect(), 12);
  if (right || down) panBy(right, down);
}

document.addEventListener("wheel", (event) => {
  const svg = event.target.closest?.("#board-svg");
  if (!svg) return;
  const turned = event.deltaY * (event.deltaMode === 1 ? 16 : 1) * (event.ctrlKey ? 6 : 1); // a pinch on a pad turns little
  if (turned > 0 && isWhole() && !event.ctrlKey && !wanted) return; // no farther out: the page may scroll
  event.preventDefault();
  zoomTo(scaleNow() * Math.exp(-turned * 0.0015), event, { soon: true });
}, { passive: false });

document.addEventListener("pointerdown", (event) => {
  const svg = event.target.closest?.("#board-svg");
  if (!svg || !isZoomed() || !(event.button === 1 || isPanning())) return;
  event.preventDefault();
  pan = { pointer: event.pointerId, x: event.clientX, y: event.clientY };
  svg.setPointerCapture(event.pointerId);
});

document.addEventListener("pointermove", (event) => {
  if (!pan || event.pointerId !== pan.pointer) return;
  panBy(event.clientX - pan.x, event.clientY - pan.y, { soon: true });
  Object.assign(pan, { x: event.clientX, y: event.clientY });
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
window.addEventListener("blur", () => { delete document.documentElement.dataset.panning; });

// The bench was exchanged: keep looking at the same place, unless it is another drawing.
// Parts beyond the board make all of it larger, and it is still the same one.
let before = "";
const which = () => (bench() ? new FormData(document.getElementById("view")).get("board") : "");
document.addEventListener("htmx:beforeSwap", () => { before = which(); });
document.addEventListener("htmx:afterSwap", () => {
  const svg = drawing();
  if (!svg || svg === on) return;
  if (seen && which() !== before) seen = null;
  show(svg);
});

// The room for the drawing has changed: the same scale, about the same middle.
window.addEventListener("resize", () => {
  const svg = drawing();
  if (!svg) return;
  if (svg.dataset.whole) svg.setAttribute("viewBox", svg.dataset.whole); // its height may follow from it
  show(svg);
});

// A part reached by the keyboard is brought into view.
document.addEventListener("focusin", (event) => {
  const part = event.target.closest?.("#board-svg [data-placement]");
  if (part?.matches(":focus-visible")) bringIntoView(part);
});

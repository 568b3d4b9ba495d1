// The drawing is one stop for Tab, at the part in hand or the one last gone to; from there Page Down and Page Up go
// through the parts, rows from the back, each from left to right, Home and End to the first and the last. The arrows
// move parts. Without scripts every part is a stop of its own.

import { drawing, selection } from "../bench.js";

let last = ""; // the part last gone to

const parts = () => [...(drawing()?.querySelectorAll("#parts [data-placement]") ?? [])];

/** Make one part the stop: the one with the focus, or in hand, or last gone to, or the first. */
function settle() {
  const all = parts();
  const named = (id) => all.find((part) => part.dataset.placement === id);
  const stop = all.find((part) => part === document.activeElement) ?? named(selection()[0]) ?? named(last) ?? all[0];
  for (const part of all) {
    if ((part === stop) !== (part.getAttribute("tabindex") === "0")) part.setAttribute("tabindex", part === stop ? "0" : "-1");
  }
}

const STEPS = {
  PageDown: (all, at) => all[Math.min(at + 1, all.length - 1)],
  PageUp: (all, at) => all[Math.max(at - 1, 0)],
  Home: (all) => all[0],
  End: (all) => all.at(-1),
};

document.addEventListener("keydown", (event) => {
  if (!STEPS[event.key] || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
  const here = event.target.closest?.("#board-svg [data-placement]");
  if (!here) return;
  event.preventDefault();
  const all = parts();
  STEPS[event.key](all, all.indexOf(here)).focus();
});

document.addEventListener("focusin", (event) => {
  const part = event.target.closest?.("#board-svg [data-placement]");
  if (!part || part.getAttribute("tabindex") === "0") return;
  last = part.dataset.placement;
  settle();
});

document.addEventListener("htmx:afterSwap", settle);
settle();

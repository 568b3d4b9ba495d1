// The keyboard: arrows nudge, Delete removes, Ctrl+Z and Ctrl+Y go back and forth, Ctrl+D duplicates.

import { bench, change, drawing, look, say, selection } from "./bench.js";
import { cancel, select } from "./drag.js";
import { isMoving, moveTo, putBack, putDown, shift, takeUp } from "./moving.js";

const PAUSE = 450; // ms without a key after which a run of nudges is put down, as one step
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

let timer = 0;

document.addEventListener("keydown", (event) => {
  if (!bench() || event.target.closest?.("input, select, textarea, [contenteditable]")) return;
  const command = event.ctrlKey || event.metaKey;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (command && key === "z") return act(event, () => step(event.shiftKey ? "redo" : "undo"));
  if (command && key === "y") return act(event, () => step("redo"));
  if (command && key === "d" && chosen()) return act(event, () => change("/edit/duplicate", { select: chosen() }));
  if (command || event.altKey && !ARROWS[key]) return undefined;
  if (ARROWS[key] && chosen()) return act(event, () => nudge(ARROWS[key], event.shiftKey));
  if ((key === "Delete" || key === "Backspace") && chosen()) {
    return act(event, () => change("/edit/remove", { select: selection().join(",") || chosen() }));
  }
  if (key === "Escape") return act(event, letGo);
  if ((key === "Enter" || key === " ") && focused()) return act(event, () => select(focused(), event.shiftKey));
  return undefined;
});

function act(event, what) {
  event.preventDefault();
  what();
}

/** The part with the focus, or else the selected one in hand. */
const focused = () => document.activeElement?.closest?.("#board-svg [data-placement]")?.dataset.placement ?? "";
const chosen = () => focused() || selection()[0] || "";

function step(which) {
  const button = document.getElementById(which);
  if (button.disabled) return say(which === "undo" ? "Nothing to undo" : "Nothing to redo");
  // Not by its form: one that was exchanged a moment ago is not taken over yet, and would load the page anew.
  return change(`/${which}`);
}

function nudge([right, down], fine) {
  if (!isMoving() && !takeUp(chosen())) return say("Locked where it is");
  const grid = Number(bench().dataset.grid) * (fine ? 0.1 : 1);
  const at = shift();
  // Exactly a step: a part that lies beside the grid stays as far beside it.
  moveTo(at.dx + right * grid, at.dy + down * grid, true);
  clearTimeout(timer);
  timer = setTimeout(async () => {
    timer = 0;
    if (isMoving()) await putDown();
  }, PAUSE);
  return undefined;
}

function letGo() {
  if (timer) {
    clearTimeout(timer);
    timer = 0;
    if (isMoving()) return putBack();
  }
  if (cancel()) return undefined;
  return selection().length ? look({ select: "" }) : undefined;
}

// A nudge must not be lost by leaving the part or the page within the pause.
document.addEventListener("pointerdown", () => { if (timer) flush(); }, { capture: true });
window.addEventListener("blur", () => { if (timer) flush(); });

function flush() {
  clearTimeout(timer);
  timer = 0;
  if (isMoving() && drawing()) putDown();
}

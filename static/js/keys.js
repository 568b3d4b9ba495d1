// The keyboard: arrows nudge, Delete removes, T turns, L locks, Ctrl+Z and Ctrl+Y go back and forth, Ctrl+D duplicates.

import { bench, change, drawing, look, say, selection } from "./bench.js";
import { cancel, select } from "./drag.js";
import { isMoving, moveTo, putBack, putDown, putDownLeaving, shift, takeUp } from "./moving.js";

const PAUSE = 450; // ms without a key after which a run of nudges is put down, as one step
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

let timer = 0;
let nudging = false; // from the first step of a run until it is put down or put back
let nudged = ""; // the part the waiting run of nudges moves
let turn = Promise.resolve(); // keys take effect one after the other, in the order they were pressed

document.addEventListener("keydown", (event) => {
  if (!bench() || event.target.closest?.("input, select, textarea, [contenteditable]")) return;
  const command = event.ctrlKey || event.metaKey;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const id = chosen();
  const list = document.getElementById("shortcuts");
  const single = !command && !event.altKey && singleKeys();
  if (list && key === "?" && single) {
    event.preventDefault();
    return list.togglePopover();
  }
  if (list?.matches(":popover-open")) return undefined; // it closes by itself, and covers what keys would change
  if (command && key === "z") return act(event, () => step(event.shiftKey ? "redo" : "undo"));
  if (command && key === "y") return act(event, () => step("redo"));
  if (command && key === "d" && id) return act(event, () => change("/edit/duplicate", { select: together(id) }));
  if (command && key === "a" && drawing()) return act(event, () => look({ select: everyPart() }));
  if (single && key === "t" && id && drawing()) return act(event, () => turn_(id, event.shiftKey));
  if (single && key === "l" && id && drawing()) return act(event, () => lock(id));
  if (command || event.altKey && !ARROWS[key]) return undefined;
  if (ARROWS[key] && !drawing()) return undefined; // a section has nothing to move
  if (ARROWS[key] && id) return act(event, () => nudge(id, ARROWS[key], event.shiftKey), id);
  if ((key === "Delete" || key === "Backspace") && id) {
    return act(event, () => change("/edit/remove", { select: together(id) }));
  }
  if (key === "Escape") return letGo(event);
  if ((key === "Enter" || key === " ") && focused()) {
    return act(event, () => select(id, event.shiftKey) ?? say(document.getElementById("selected").dataset.said));
  }
  return undefined;
});

// Whatever is not a further nudge of the same part finds the nudges before it made.
function act(event, what, going = "") {
  event.preventDefault();
  turn = turn.then(async () => {
    if (timer && nudged !== going) await flush();
    await what();
  });
}

// Keys without Ctrl can be pressed by a slip, or by a voice that is heard as letters: they can be switched off.
const singleKeys = () => localStorage.getItem("single-keys") !== "off";

document.addEventListener("beforetoggle", (event) => {
  const box = event.target.querySelector?.("#single-keys");
  if (box) box.checked = singleKeys();
}, { capture: true });
document.addEventListener("change", (event) => {
  if (event.target.id === "single-keys") localStorage.setItem("single-keys", event.target.checked ? "on" : "off");
});

const everyPart = () => [...drawing().querySelectorAll("#parts [data-placement]")].map((g) => g.dataset.placement).join(",");
const turn_ = (id, back) => change("/edit/turn", { select: together(id), by: back ? "-90" : "90" });

// What is locked is let go, and the other way round.
function lock(id) {
  const free = !drawing().querySelector(`[data-placement="${CSS.escape(id)}"]`)?.matches(".locked");
  return change("/edit/lock", { select: together(id), lock: free ? "on" : "off" });
}

/** The part with the focus, or else the selected one in hand. */
const focused = () => document.activeElement?.closest?.("#board-svg [data-placement]")?.dataset.placement ?? "";
const chosen = () => focused() || selection()[0] || "";

/** The part and whatever is selected with it. */
const together = (id) => (selection().includes(id) ? selection() : [id]).join(",");

function step(which) {
  const button = document.getElementById(which);
  if (button.disabled) return say(which === "undo" ? "Nothing to undo" : "Nothing to redo");
  // Not by its form: one that was exchanged a moment ago is not taken over yet, and would reload the page.
  return change(`/${which}`);
}

function nudge(id, [right, down], fine) {
  if (!isMoving() && !takeUp(id)) return say("This part is locked");
  const grid = Number(bench().dataset.grid) * (fine ? 0.1 : 1);
  const at = shift();
  // Exactly a step: a part that lies beside the grid stays as far beside it.
  moveTo(at.dx + right * grid, at.dy + down * grid, true);
  nudged = id;
  nudging = true;
  clearTimeout(timer);
  timer = setTimeout(() => { turn = turn.then(flush); }, PAUSE);
  return undefined;
}

// The nudge pad does as the arrow keys do, so that a run of presses is one step as well.
document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-nudge]");
  const id = selection()[0];
  if (!button || !id || !drawing()) return;
  act(event, () => nudge(id, button.dataset.nudge.split(" ").map(Number), false), id);
});

function letGo(event) {
  event.preventDefault();
  if (timer) {
    clearTimeout(timer);
    timer = 0;
    nudging = false;
    if (isMoving()) return putBack();
  }
  if (cancel()) return undefined;
  return selection().length ? look({ select: "" }) : undefined;
}

// A nudge must not be lost by leaving the part or the page within the pause.
document.addEventListener("pointerdown", (event) => {
  if (timer && !event.target.closest?.("[data-nudge]")) flush();
}, { capture: true });
window.addEventListener("blur", () => { if (timer) flush(); });
window.addEventListener("pagehide", () => { if (nudging && isMoving()) putDownLeaving(); });

async function flush() {
  clearTimeout(timer);
  timer = 0;
  if (isMoving() && drawing()) await putDown();
  nudging = false;
}

// Keys take effect one after the other, in the order they were pressed. Steps of what is in the hand are gathered, and
// put down as one; whatever is pressed after them finds them made.

import { bench, change, say } from "../bench.js";
import { inHand, isMoving, landed, putBack, putDown, putDownLeaving } from "./hand.js";

const PAUSE = 450; // ms without a key after which a run of steps is put down

/** The way of each arrow key on the drawing, which counts downward. */
export const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

let timer = 0;
let stepping = false; // from the first step of a run until it is put down or put back
let stepped = ""; // what the waiting run moves
let turn = Promise.resolve();

/** Whether keys pressed in an element are not for the drawing: they write there. */
export const isWriting = (element) => Boolean(element.closest?.("input, select, textarea, [contenteditable]"));

/** Do what a key or a button asks for in its turn: after what was put down, and after any steps of another thing. */
export function act(event, what, going = "") {
  event.preventDefault();
  turn = turn.then(async () => {
    await landed();
    if (timer && stepped !== going) await flush();
    await what();
  });
}

/**
 * Move what is in the hand, or else `id`, by a step of the grid; false if it cannot be moved.
 *
 * @param way right and down, one of ARROWS
 * @param event says whether the step is a fine one (Shift), and whether what is moved goes alone (Ctrl)
 * @param takeUp takes it up; false if it cannot
 */
export function step(id, [right, down], { shiftKey, ctrlKey, metaKey }, takeUp) {
  if (isMoving() && !stepping) return true; // a pointer has something
  if (!isMoving() && !takeUp(id)) return false;
  const hand = inHand();
  const grid = Number(bench().dataset.grid) * (shiftKey ? 0.1 : 1);
  // Exactly a step: what lies beside the grid stays as far beside it.
  hand.moveTo(hand.dx + right * grid, hand.dy + down * grid, { free: true, alone: ctrlKey || metaKey });
  stepped = id;
  stepping = true;
  clearTimeout(timer);
  timer = setTimeout(() => { turn = turn.then(flush); }, PAUSE);
  return true;
}

async function flush() {
  clearTimeout(timer);
  timer = 0;
  if (isMoving()) await putDown();
  stepping = false;
}

/** Put back the steps that are not put down yet; whether there were any. */
export function forgetSteps() {
  if (!timer) return false;
  clearTimeout(timer);
  timer = 0;
  stepping = false;
  if (!isMoving()) return false;
  putBack();
  return true;
}

// Steps must not be lost by leaving what they moved, or the page, within the pause.
document.addEventListener("pointerdown", (event) => {
  if (timer && !event.target.closest?.("[data-nudge]")) flush();
}, { capture: true });
window.addEventListener("blur", () => { if (timer) flush(); });
window.addEventListener("pagehide", () => { if (stepping && isMoving()) putDownLeaving(); });

/** Go back or forth by Ctrl+Z and Ctrl+Y; whether it was one of them. */
export function goesBack(event) {
  const key = event.key.toLowerCase();
  if (!(event.ctrlKey || event.metaKey) || (key !== "z" && key !== "y")) return false;
  act(event, () => travel(key === "y" || event.shiftKey ? "redo" : "undo"));
  return true;
}

function travel(which) {
  const button = document.getElementById(which);
  if (button.disabled) return say(which === "undo" ? "Nothing to undo" : "Nothing to redo");
  // Not by its form: one that was exchanged a moment ago is not taken over yet, and would load the page anew.
  const page = new FormData(button.form).get("page"); // to which it shall come back
  return change(`/${which}`, page ? { page } : {});
}

// What is in the hand, a part or a handle: one thing at a time, asked about where it is, put down or put back.
//
// A thing says where it is kept (`path`) and what of it (`values`); it can be moved to a shift of the drawing's own
// coordinates (`moveTo`, `dx`, `dy`), is drawn to places that the server names (`land`, if it is), shows itself where it
// was (`clear`), and is part of a drawing (`group`).

import { address, bench, change, look, view } from "../bench.js";
import { settle } from "./preview.js";

let hand = null;
let landing = Promise.resolve();

/** What is in the hand; null if nothing is. */
export const inHand = () => hand;

/** Whether something is being moved. */
export const isMoving = () => hand !== null;

/** When what was put down or back is where it belongs. */
export const landed = () => landing;

/** Take a thing up. */
export function take(thing) {
  hand = thing;
  bench().classList.add("dragging");
}

function letGo() {
  hand = null;
  bench().classList.remove("dragging");
}

/** Put it down where it is. */
export function putDown() {
  if (!hand.down) landing = lower(hand);
  return landing;
}

async function lower(thing) {
  thing.down = true; // and moves no more
  await settle(thing.isDrawn?.());
  // The page is being left, and it was put down on the way; or it was put back.
  if (hand !== thing || thing.back) return;
  thing.land?.(); // a hand that let go before the answer came is drawn as one that waited for it
  const sent = thing.values();
  letGo();
  await change(thing.path, sent);
  if (!thing.group.isConnected) return;
  // Still here: the server would not have it, and has said why, which stays to be read.
  document.getElementById("notice").dataset.stays = "yes";
  await restore(thing);
}

/** Put it down while the page is being left: by a request that outlives it, and without waiting for anything. */
export function putDownLeaving() {
  const { path, values } = hand;
  const body = new URLSearchParams({ ...view(), ...values() });
  letGo();
  fetch(address(path), { method: "POST", body, keepalive: true });
}

/** Put it back where it was taken up. */
export function putBack() {
  if (!hand.back) landing = raise(hand);
  return landing;
}

async function raise(thing) {
  thing.down = true;
  thing.back = true;
  await settle();
  if (hand === thing) letGo();
  await restore(thing);
}

function restore(thing) {
  thing.clear();
  return look();
}

// A slow answer to something earlier must not take the drawing out from under the hand.
document.addEventListener("htmx:beforeSwap", (event) => {
  if (isMoving() && event.detail.target === bench()) event.detail.shouldSwap = false;
});

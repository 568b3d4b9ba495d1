// Parts in the hand: drawn where the hand is, asked about, put down or put back.

import { bench, change, drawing, look, partGroup, selection, view } from "./bench.js";
import { lift } from "./lift.js";
import { preview, settle, showPlace } from "./preview.js";

let hand = null;

/** Whether something is being moved. */
export const isMoving = () => hand !== null;

/** Take parts up: the one named first is what measures are shown of. */
export function takeUp(id) {
  const chosen = selection();
  const ids = chosen.includes(id) ? [id, ...chosen.filter((other) => other !== id)] : [id];
  const groups = ids.map(partGroup).filter((group) => group && !group.classList.contains("locked"));
  if (!groups.length || partGroup(id)?.classList.contains("locked")) return false;
  delete document.getElementById("moving").dataset.snaps; // those of an earlier drag
  hand = { ids, groups, dx: 0, dy: 0, at: null, free: false, frame: 0, asked: false, shown: chosen.includes(id) };
  groups.forEach((group) => group.classList.add("held"));
  bench().classList.add("dragging");
  return true;
}

// The card is that of the part in the hand from when it is taken up, and not only from when it is put down.
async function showCard(taken) {
  const { unit, seen, ...rest } = { ...view(), select: taken.ids.join(",") };
  const answer = await fetch(`/designs/${bench().dataset.design}?${new URLSearchParams(rest)}`, {
    headers: { "HX-Request": "true", "HX-Target": "bench" },
  }).catch(() => null);
  if (!answer?.ok) return;
  const card = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("selected");
  if (hand !== taken || !card) return;
  document.getElementById("selected").replaceWith(card);
  showPlace(taken.ids[0]);
}

/** Move what is in the hand to dx, dy of where it was taken up, in the drawing's own coordinates. */
export function moveTo(dx, dy, free) {
  hand.at = { dx, dy };
  Object.assign(hand, { ...(free ? { dx, dy } : drawn(dx, dy)), free });
  hand.frame ||= requestAnimationFrame(() => {
    if (!hand) return;
    hand.frame = 0;
    hand.lifted ??= lift(drawing(), hand.groups);
    hand.lifted.move(hand.dx, hand.dy);
  });
  // Until one was asked with it, the rest of the elevation still shows what was in hand before.
  preview(hand.asked ? values() : { ...values(), first: "on" });
}

const HOLD = 5; // px within which a place the server named takes hold

// The server names the places near by and the grid, as shifts; here the nearest number is picked, and no more.
function drawn(dx, dy) {
  const named = document.getElementById("moving").dataset.snaps;
  if (!named || !hand.asked) return { dx, dy };
  const { x, y, grid, hold } = JSON.parse(named);
  const reach = Math.min(hold[0], HOLD / Math.abs(drawing().getScreenCTM().a));
  return { dx: nearest(dx, x, reach, grid[0], grid[1]), dy: nearest(dy, y, reach, grid[0], grid[2]) };
}

function nearest(value, places, reach, step, first) {
  const best = places.reduce((near, place) => (Math.abs(place - value) < Math.abs(near - value) ? place : near), Infinity);
  return Math.abs(best - value) <= reach ? best : first + Math.round((value - first) / step) * step;
}

/** A first request was sent, so the others need only what moves. */
document.addEventListener("holewise:asked", (event) => {
  if (hand && event.detail.first) hand.asked = true;
});

// A hand that rested before the places to hold at were known takes hold when they are.
document.addEventListener("holewise:shown", () => {
  if (!hand?.at) return;
  if (!hand.shown) showCard(hand);
  hand.shown = true;
  if (hand.free) return;
  const { dx, dy } = drawn(hand.at.dx, hand.at.dy);
  if (dx !== hand.dx || dy !== hand.dy) moveTo(hand.at.dx, hand.at.dy, false);
});

/** How far it is from where it was taken up. */
export const shift = () => ({ dx: hand?.dx ?? 0, dy: hand?.dy ?? 0 });

// The drawing counts downward, the board away from the player.
const values = () => ({
  select: hand.ids.join(","), dx: hand.dx, dy: -hand.dy, free: hand.free ? "on" : "",
  // The row that is on the page already: as long as it is the same, it need not come again.
  row: document.getElementById("moving").dataset.row ?? "",
});

/** Put it down where it is. */
export async function putDown() {
  const sent = values();
  const { groups, lifted } = hand;
  await settle();
  if (!hand) return; // the page is being left, and it was put down on the way
  letGo();
  await change("/edit/move", sent);
  // Still here: the server would not have it, and has said why, which stays to be read.
  if (groups[0].isConnected) {
    document.getElementById("notice").dataset.stays = "yes";
    await restore(groups, lifted);
  }
}

/** Put it down while the page is being left: by a request that outlives it, and without waiting for anything. */
export function putDownLeaving() {
  const body = new URLSearchParams({ ...view(), ...values() });
  letGo();
  fetch(`/designs/${bench().dataset.design}/edit/move`, { method: "POST", body, keepalive: true });
}

/** Put it back where it was taken up. */
export async function putBack() {
  const { groups, lifted } = hand;
  await settle();
  letGo();
  await restore(groups, lifted);
}

function letGo() {
  if (hand?.frame) cancelAnimationFrame(hand.frame);
  hand = null;
  bench().classList.remove("dragging");
}

function restore(groups, lifted) {
  lifted?.putBack();
  groups.forEach((group) => group.classList.remove("held"));
  return look();
}

// A slow answer to something earlier must not take the drawing out from under the hand.
document.addEventListener("htmx:beforeSwap", (event) => {
  if (isMoving() && event.detail.target === bench()) event.detail.shouldSwap = false;
});


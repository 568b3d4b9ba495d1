// Parts in the hand: drawn where the hand is, and what is said of them meanwhile.

import { address, bench, drawing, partGroup, selection, view } from "../bench.js";
import { tell } from "../forms/fields.js";
import { inHand, take } from "./hand.js";
import { lift } from "./lift.js";
import { preview } from "./preview.js";
import { drawn } from "./snapping.js";

const told = () => document.getElementById("moving").dataset;

/** Take parts up: the one named first is what measures are shown of. */
export function takeUp(id) {
  const chosen = selection();
  const ids = chosen.includes(id) ? [id, ...chosen.filter((other) => other !== id)] : [id];
  const groups = ids.map(partGroup).filter((group) => group && !group.classList.contains("locked"));
  if (!groups.length || partGroup(id)?.classList.contains("locked")) return false;
  delete told().snaps; // those of an earlier drag
  take(parts(ids, groups));
  groups.forEach((group) => group.classList.add("held"));
  return true;
}

/** The parts as something in the hand. */
function parts(ids, groups) {
  const hand = {
    ids, path: "/edit/move", group: groups[0], dx: 0, dy: 0, at: null, free: false, frame: 0, asked: false,
    shown: selection().includes(ids[0]),
    /** Move them to dx, dy of where they were taken up, in the drawing's own coordinates. */
    moveTo(dx, dy, { free }) {
      hand.at = { dx, dy };
      hand.free = free;
      hand.land();
      hand.frame ||= requestAnimationFrame(show);
      // Until one was asked with it, the rest of the elevation still shows what was in hand before.
      preview("/preview", hand.asked ? hand.values() : { ...hand.values(), first: "on" }, true);
    },
    isDrawn: () => Boolean(hand.at && !hand.free),
    land() {
      const places = !hand.free && hand.at && hand.asked && told().snaps;
      const scale = drawing().getScreenCTM().a;
      Object.assign(hand, places ? drawn(hand.at, JSON.parse(places), scale) : hand.at);
    },
    // The drawing counts downward, the board away from the player.
    values: () => ({
      select: ids.join(","), dx: hand.dx, dy: -hand.dy, free: hand.free ? "on" : "",
      // The row that is on the page already: as long as it is the same, it need not come again.
      row: told().row ?? "",
    }),
    clear() {
      hand.lifted?.putBack();
      groups.forEach((group) => group.classList.remove("held"));
    },
  };
  function show() {
    hand.frame = 0;
    if (inHand() !== hand) return;
    hand.lifted ??= lift(drawing(), groups);
    hand.lifted.move(hand.dx, hand.dy);
  }
  return hand;
}

/** A first request was sent, so the others need only what moves. */
document.addEventListener("holewise:asked", (event) => {
  const hand = inHand();
  if (hand && event.detail.first) hand.asked = true;
});

document.addEventListener("holewise:shown", () => {
  const hand = inHand();
  showPlace(hand?.ids[0]);
  if (!hand?.at || hand.down) return;
  if (!hand.shown) showCard(hand);
  hand.shown = true;
  // A hand that rested before the places to hold at were known takes hold when they are.
  const { dx, dy, at, free } = hand;
  hand.land();
  if (dx !== hand.dx || dy !== hand.dy) hand.moveTo(at.dx, at.dy, { free });
});

// The fields of the part in hand say where it would land.
function showPlace(id) {
  const { x, y } = told();
  if (document.querySelector("#selected [name=select]")?.value !== id || !x || !document.getElementById("field-x")) return;
  tell(document.getElementById("field-x"), x);
  tell(document.getElementById("field-y"), y);
}

// The card is that of the part in the hand from when it is taken up, and not only from when it is put down.
async function showCard(hand) {
  const { unit, seen, ...rest } = { ...view(), select: hand.ids.join(",") };
  const answer = await fetch(`${address()}?${new URLSearchParams(rest)}`, {
    headers: { "HX-Request": "true", "HX-Target": bench().id },
  }).catch(() => null);
  if (!answer?.ok) return;
  const card = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("selected");
  if (inHand() !== hand || !card) return;
  document.getElementById("selected").replaceWith(card);
  showPlace(hand.ids[0]);
}

// A pointer pressed on a drawing: one at a time; a second one never edits, and one that only trembles drags nothing.

import { placeOf } from "../bench.js";
import { inHand, isMoving, putBack, putDown } from "./hand.js";

const STILL = 4; // px a pressed pointer may tremble before it is a drag

/** How far a finger may tremble before it drags something, or moves the view [px]. */
export const TREMBLE = 10;

let press = null;
const users = [];

/** What is pressed now; null if nothing is. */
export const pressed = () => press;

/**
 * Have presses told of.
 *
 * @param user `begin(event)` gives what a press is for, nothing if it is none of its own. If that has an `id`, the press
 *   drags something on the drawing `drawing()`: `takeUp(id)` takes it up, false if it cannot be moved, and
 *   `carried(press)` is told of each move. Of other presses `moved(press, event, still)` is told. Each is told by
 *   `ended(press, event, still)` of a press that is over and dragged nothing, and by `released(press)` of any.
 */
export function usePresses(user) {
  users.push(user);
}

document.addEventListener("pointerdown", (event) => {
  const second = press && press.pointer !== event.pointerId; // or else the end of the first was never told
  if (press) cancel();
  if (second || event.button !== 0 || !event.isPrimary) return;
  for (const user of users) {
    const begun = user.begin(event);
    if (!begun) continue;
    const { clientX, clientY, pointerId: pointer, pointerType } = event;
    press = { user, pointer, touch: pointerType === "touch", clientX, clientY, from: null, ...begun };
    return;
  }
});

const isStill = ({ clientX, clientY }) =>
  Math.hypot(clientX - press.clientX, clientY - press.clientY) <= (press.touch ? TREMBLE : STILL);

document.addEventListener("pointermove", (event) => {
  if (!press || event.pointerId !== press.pointer) return undefined;
  const { user, id } = press;
  if (!id) return user.moved(press, event, isStill(event));
  if (!press.from && (isStill(event) || isMoving() || !user.takeUp(id))) return undefined;
  press.from ??= start();
  press.last = event;
  carry();
  return user.carried?.(press);
});

// On the drawing that is on the page now: an answer may have exchanged the one that was pressed. From here on none does.
function start() {
  const svg = press.user.drawing();
  if (!svg.hasPointerCapture(press.pointer)) svg.setPointerCapture(press.pointer);
  return placeOf(svg, press);
}

/** Move what is in the hand to where the pointer is. */
export function carry() {
  const { from, last, user } = press;
  const to = placeOf(user.drawing(), last);
  if (inHand()?.down) return;
  inHand()?.moveTo(to.x - from.x, to.y - from.y, { free: last.altKey, alone: last.ctrlKey || last.metaKey });
}

document.addEventListener("pointerup", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  const was = press;
  const still = isStill(event);
  release();
  if (!was.from) was.user.ended(was, event, still);
  else if (isMoving()) putDown();
});

document.addEventListener("pointercancel", (event) => {
  if (press?.pointer === event.pointerId) cancel();
});

function release() {
  const was = press;
  press = null;
  was?.user.released?.(was);
}

/** Let go of everything; true if there was anything. */
export function cancel() {
  const had = press !== null || isMoving();
  release();
  if (isMoving()) putBack();
  return had;
}

// Handles of the board: a pointer or the arrow keys pull one, the server says what comes of it.
// Nothing here knows a measure of the board; it counts the hand's way in the drawing's own coordinates.

import { bench, change, look } from "../bench.js";
import { inHand, take } from "../drawing/hand.js";
import "./page.js";
import { cancel, pressed, usePresses } from "../drawing/press.js";
import { preview } from "../drawing/preview.js";
import { REACH, nearestOf } from "../drawing/reach.js";
import { ARROWS, act, forgetSteps, goesBack, isWriting, step } from "../drawing/steps.js";

const drawing = () => document.getElementById("shape-svg");
const groupOf = (name) => drawing().querySelector(`[data-handle="${CSS.escape(name)}"]`);

// -- a handle in the hand ----------------------------------------------------------------------------------

function takeUp(name) {
  const group = groupOf(name);
  if (!group) return false;
  const was = group.getAttribute("transform") ?? "";
  const hand = {
    path: "/board/drag", group, dx: 0, dy: 0, free: false, alone: false,
    moveTo(dx, dy, { free, alone }) {
      Object.assign(hand, { dx, dy, free, alone });
      preview("/board/preview", hand.values());
    },
    // The drawing counts downward, the board away from the player.
    values: () => ({
      handle: name, dx: hand.dx, dy: -hand.dy, free: hand.free ? "on" : "", alone: hand.alone ? "on" : "",
    }),
    clear() {
      group.classList.remove("pulled");
      group.setAttribute("transform", was);
    },
  };
  take(hand);
  group.classList.add("pulled");
  return true;
}

// It is drawn where the server says it would be, and not where the hand is: it may be drawn to the grid, or held.
document.addEventListener("holewise:shown", () => {
  const { x, y, wrong } = document.getElementById("board-said").dataset;
  if (!wrong && x !== undefined) inHand()?.group.setAttribute("transform", `translate(${x} ${y})`);
});

/** Take a handle in hand: what can be typed of it is opened beside the drawing. */
const hold = (name) => look({ hold: name, group: "" });

// -- the pointer -------------------------------------------------------------------------------------------

usePresses({ drawing, takeUp, begin, ended: ({ id }) => hold(id) });

function begin(event) {
  const svg = event.target.closest?.("#shape-svg");
  if (!svg) return null;
  const id = event.pointerType === "touch" ? nearest(svg, event)
    : event.target.closest("[data-handle]")?.dataset.handle;
  if (!id) return null;
  svg.setPointerCapture(event.pointerId);
  return { id };
}

// A finger covers several handles: the nearest is meant.
const nearest = (svg, at) => nearestOf([...svg.querySelectorAll("[data-handle]")].map((each) => {
  const { left, right, top, bottom } = each.querySelector(".handle-form").getBoundingClientRect();
  return { id: each.dataset.handle, x: (left + right) / 2, y: (top + bottom) / 2, rim: 0 };
}), at);

// A finger on a handle pulls it; anywhere else it scrolls. Browsers do not heed touch-action inside a drawing.
document.addEventListener("touchstart", (event) => {
  const svg = event.target.closest?.("#shape-svg");
  if (svg && event.touches.length === 1 && nearest(svg, event.touches[0])) event.preventDefault();
}, { passive: false });

// -- the keyboard ------------------------------------------------------------------------------------------

document.addEventListener("keydown", (event) => {
  if (!bench() || isWriting(event.target) || goesBack(event)) return;
  const { key } = event;
  if (key === "Escape") {
    if (forgetSteps() || cancel()) event.preventDefault();
    return;
  }
  const name = document.activeElement?.closest?.("#shape-svg [data-handle]")?.dataset.handle;
  if (!name || pressed()) return;
  if (ARROWS[key]) act(event, () => step(name, ARROWS[key], event, takeUp), name);
  else if (key === "Enter" || key === " ") act(event, () => hold(name));
  else if ((key === "Delete" || key === "Backspace") && name.startsWith("corner-")) {
    const [, ring, index] = name.split("-");
    act(event, () => change("/board/corner-remove", { ring, index }));
  }
});

// -- after the page was exchanged --------------------------------------------------------------------------

function widenGrips() {
  if (!matchMedia("(pointer: coarse)").matches) return;
  for (const grip of drawing().querySelectorAll(".grip")) grip.setAttribute("r", REACH / drawing().getScreenCTM().a);
}

document.addEventListener("htmx:afterSwap", widenGrips);
widenGrips();

// The keyboard: arrows nudge, Delete removes, T turns, L locks, Ctrl+Z and Ctrl+Y go back and forth, Ctrl+D duplicates.

import { bench, change, drawing, look, say, selection } from "../bench.js";
import { select } from "./drag.js";
import { takeUp } from "./moving.js";
import { cancel } from "./press.js";
import { singleKeys } from "./single_keys.js";
import { ARROWS, act, forgetSteps, goesBack, isWriting, step } from "./steps.js";

document.addEventListener("keydown", (event) => {
  if (!bench() || isWriting(event.target)) return undefined;
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
  if (goesBack(event)) return undefined;
  if (command && key === "d" && id) return act(event, () => change("/edit/duplicate", { select: together(id) }));
  if (command && key === "a" && drawing()) return act(event, () => look({ select: everyPart() }));
  if (single && key === "t" && id && drawing()) return act(event, () => turn_(id, event.shiftKey));
  if (single && key === "l" && id && drawing()) return act(event, () => lock(id));
  if (command || event.altKey && !ARROWS[key]) return undefined;
  if (ARROWS[key] && !drawing()) return undefined; // a section has nothing to move
  if (ARROWS[key] && id) return act(event, () => nudge(id, ARROWS[key], event), id);
  if ((key === "Delete" || key === "Backspace") && id) {
    return act(event, () => change("/edit/remove", { select: together(id) }));
  }
  if (key === "Escape") return letGo(event);
  if ((key === "Enter" || key === " ") && focused()) {
    return act(event, () => select(id, event.shiftKey) ?? say(document.getElementById("selected").dataset.said));
  }
  return undefined;
});

const nudge = (id, way, event) => step(id, way, event, takeUp) || say("This part is locked");
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

// The nudge pad does as the arrow keys do, so that a run of presses is one step as well.
document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-nudge]");
  const id = selection()[0];
  if (!button || !id || !drawing()) return;
  act(event, () => nudge(id, button.dataset.nudge.split(" ").map(Number), {}), id);
});

function letGo(event) {
  event.preventDefault();
  if (forgetSteps() || cancel()) return undefined;
  return selection().length ? look({ select: "" }) : undefined;
}

// Ways out of findings come after the board: trying them takes longer than judging and drawing it.

import { bench } from "../bench.js";
import { isMoving } from "../drawing/hand.js";

const folds = (within) => [...within.querySelectorAll("details[id]")];
let open = null; // how the folds of the report stood
let pressed = false; // something in the report: what is exchanged under a press does nothing when that ends
let late = null; // asks again for what came meanwhile

const within = ({ target }) => target instanceof Element && target.closest("#report") !== null;
const released = () => {
  pressed = false;
  late?.();
  late = null;
};

document.addEventListener("pointerdown", (event) => { pressed = within(event); }, true);
document.addEventListener("keydown", (event) => { pressed ||= event.key === " " && within(event); }, true);
// After the click that comes of it.
for (const end of ["pointerup", "pointercancel", "keyup"]) document.addEventListener(end, () => setTimeout(released), true);

document.addEventListener("htmx:beforeSwap", ({ detail }) => {
  const { target, xhr, requestConfig } = detail;
  if (target.id !== "report") return;
  const { searchParams } = new URL(requestConfig.path, document.baseURI);
  // Of a board that has changed since, or is in the hand, they come with the next answer.
  if (xhr.status >= 400 || isMoving() || searchParams.get("of") !== bench().dataset.revision) {
    detail.shouldSwap = false;
    target.removeAttribute("aria-busy");
    return;
  }
  if (pressed) {
    detail.shouldSwap = false;
    late = () => window.htmx.ajax("GET", requestConfig.path, { source: target, target, swap: "merge" });
    return;
  }
  open = new Map(folds(target).map((fold) => [fold.id, fold.open]));
});

document.addEventListener("htmx:afterSwap", () => {
  if (!open) return;
  for (const fold of folds(document.getElementById("report"))) fold.open = open.get(fold.id) ?? fold.open;
  open = null;
});

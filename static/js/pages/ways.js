// Ways out of findings come after the board: trying them takes longer than judging and drawing it.

import { bench } from "../bench.js";
import { isMoving } from "../drawing/hand.js";

const folds = (within) => [...within.querySelectorAll("details[id]")];
let open = null; // how the folds of the report stood

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
  open = new Map(folds(target).map((fold) => [fold.id, fold.open]));
});

document.addEventListener("htmx:afterSwap", () => {
  if (!open) return;
  for (const fold of folds(document.getElementById("report"))) fold.open = open.get(fold.id) ?? fold.open;
  open = null;
});

// Folds that were opened or closed since a request was made are not folded by its answer.

import { turnNow } from "./fields.js";

const turned = new Map(); // id of a fold: how it was left, and when
let keeping = [];

document.addEventListener("click", (event) => {
  const fold = event.target.closest?.("summary")?.parentElement;
  if (fold?.id) turned.set(fold.id, { open: !fold.open, at: turnNow() });
});

/** Folds that were turned since a request was made stay so when its answer is on the page. */
export function keepFolds(turn) {
  keeping = [...turned].filter(([, { at }]) => at >= turn);
}

document.addEventListener("htmx:afterSwap", () => {
  for (const [id, { open }] of keeping) {
    const fold = document.getElementById(id);
    if (fold && !fold.querySelector("[aria-invalid]")) fold.open = open;
  }
  keeping = [];
});

// Asks what a move would come to: one request at a time, and always the newest place, never a queue.

import { bench, selection, view } from "./bench.js";

let wanted = null;
let running = null;

async function run() {
  while (wanted) {
    const values = wanted;
    wanted = null;
    const url = `/designs/${bench().dataset.design}/preview`;
    // The source stands outside the bench, so that nothing the bench says about addresses applies.
    await window.htmx.ajax("POST", url, { source: "#live", swap: "none", values: { ...view(), ...values } });
    showPlace(values.select.split(",")[0]);
    // The next frame begins with the newest place of the pointer: that is the one to ask about. A page that is
    // hidden has no frames, and must not be waited for.
    await new Promise((go) => { requestAnimationFrame(go); setTimeout(go, 40); });
  }
  running = null;
}

// The fields of the part in hand say where it would land.
function showPlace(id) {
  const { x, y } = document.getElementById("moving").dataset;
  if (selection().length !== 1 || selection()[0] !== id || !x) return;
  document.getElementById("field-x").value = x;
  document.getElementById("field-y").value = y;
}

/** Show what the selected parts moved by dx, dy (right, back) would come to. */
export function preview(values) {
  wanted = values;
  running ??= run();
}

/** Forget what was not asked yet, and wait for what was: a late answer must not cover a newer one. */
export async function settle() {
  wanted = null;
  if (running) await running;
}

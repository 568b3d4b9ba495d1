// A page beside the board whose whole is exchanged after a change: keep the keyboard's place, say what happened.

import "./focus.js";
import "./windows.js";

const root = () => document.querySelector("[data-revision]");
let before = null;

document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target === root()) before = { ...root()?.dataset };
});

document.addEventListener("htmx:afterSwap", () => {
  const wrong = root()?.querySelector("[aria-invalid]");
  if (wrong) {
    wrong.focus();
  } else if (root()?.dataset.said && root().dataset.revision !== before?.revision) {
    document.getElementById("live").textContent = root().dataset.said;
  }
  before = null;
});

document.documentElement.dataset.ready = "yes";

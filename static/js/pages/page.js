// A page beside the board whose whole is exchanged after a change: keep the keyboard's place, say what happened.

import { bench, say } from "../bench.js";
import { isTyping } from "../forms/fields.js";
import "../forms/focus.js";
import "../windows.js";

let before = null; // the revision the page showed

document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target === bench()) before = bench().dataset.revision;
});

document.addEventListener("htmx:afterSwap", () => {
  if (before === null || !bench()) return;
  const was = before;
  before = null;
  const wrong = bench().querySelector("[aria-invalid]");
  const refused = bench().querySelector(".side > .wrong");
  const { said, revision } = bench().dataset;
  if (wrong && isTyping()) say(document.getElementById(wrong.getAttribute("aria-describedby")).textContent);
  else if (wrong) wrong.focus();
  else if (refused) say(refused.textContent);
  else if (said && revision !== was) say(said);
});

document.documentElement.dataset.ready = "yes";

// A page beside the board whose whole is exchanged after a change: keep the keyboard's place, say what happened.

import { isTyping } from "./fields.js";
import "./focus.js";
import "./windows.js";

const root = () => document.querySelector("[data-revision]");

let before = null; // what the page showed

document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target === root()) before = { ...root().dataset };
});

document.addEventListener("htmx:afterSwap", () => {
  const wrong = root()?.querySelector("[aria-invalid]");
  const say = (words) => { document.getElementById("live").textContent = words; };
  if (wrong && isTyping()) say(document.getElementById(wrong.getAttribute("aria-describedby")).textContent);
  else if (wrong) wrong.focus();
  else if (root()?.dataset.said && root().dataset.revision !== before?.revision) say(root().dataset.said);
  before = null;
});

document.documentElement.dataset.ready = "yes";

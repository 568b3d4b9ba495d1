// A page beside the board whose whole is exchanged after a change: keep the keyboard's place and what is half typed,
// say what happened.

import "./focus.js";
import "./windows.js";

const root = () => document.querySelector("[data-revision]");
const fields = () => [...root().querySelectorAll("input[type=text][id]")];

let before = null; // what the page showed
let sent = null; // what stood in the fields when the last request left
let typed = []; // what was typed into other fields since

document.addEventListener("htmx:beforeRequest", () => {
  sent = new Map(fields().map((field) => [field.id, field.value]));
});

document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target !== root()) return;
  before = { ...root().dataset };
  typed = sent ? fields().filter((field) => sent.has(field.id) && field.value !== sent.get(field.id))
    .map(({ id, value, selectionStart }) => ({ id, value, caret: selectionStart })) : [];
  sent = null;
});

document.addEventListener("htmx:afterSwap", () => {
  const wrong = root()?.querySelector("[aria-invalid]");
  if (wrong && !typed.length) {
    wrong.focus();
  } else if (root()?.dataset.said && root().dataset.revision !== before?.revision) {
    document.getElementById("live").textContent = root().dataset.said;
  }
  before = null;
});

// Only now do the new fields answer.
document.addEventListener("htmx:afterSettle", () => {
  const found = typed.map((each) => ({ ...each, field: document.getElementById(each.id) })).filter(({ field }) => field);
  typed = [];
  const left = found.filter(({ field }) => field !== document.activeElement);
  left.forEach(({ field, value }) => { field.value = value; });
  // What was typed and left while an answer was on its way counts now; what is being typed goes on, and counts when left.
  if (left.length) changed(left[0].field);
  found.filter((each) => !left.includes(each)).forEach(goOn);
});

const changed = (field) => field.dispatchEvent(new Event("change", { bubbles: true }));

function goOn({ field, value, caret }) {
  const counts = () => changed(field);
  field.value = value;
  field.setSelectionRange(caret, caret);
  field.addEventListener("blur", counts, { once: true });
  field.addEventListener("change", () => field.removeEventListener("blur", counts), { once: true });
}

document.documentElement.dataset.ready = "yes";

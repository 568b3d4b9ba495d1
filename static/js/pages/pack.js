// A pack is made while the page tells how far it is; leaving the page, or Stop, ends the work.
// Without this script the form is a plain download.

import { say } from "../bench.js";

const QUIET = 5000; // ms between two things said aloud while the work goes on

const form = document.getElementById("pack-form");
const box = document.getElementById("pack-progress");
const bar = document.getElementById("pack-bar");
const said = document.getElementById("pack-said");
const stop = document.getElementById("pack-stop");
const save = document.getElementById("pack-save");
const title = document.getElementById("pack-progress-title");

let asked = ""; // what the figures on their way are of
let source = null; // the stream of the pack being made
let spoken = 0;

document.querySelectorAll(".without-scripts").forEach((each) => each.remove());
document.addEventListener("htmx:afterSwap", () => document.querySelectorAll(".without-scripts").forEach((each) => each.remove()));

const chosen = () => new URLSearchParams(new FormData(form)).toString();

// What was chosen while figures were on their way stays: the next ones, which are asked for by then, are of that.
document.addEventListener("htmx:beforeRequest", ({ detail }) => {
  if (detail.elt === form) asked = chosen();
});
document.addEventListener("htmx:beforeSwap", ({ detail }) => {
  if (detail.requestConfig?.elt === form && asked !== chosen()) detail.shouldSwap = false;
});

/** Show that the work is over, in words, with what can be done now. */
function over(heading, words, { kept = "" } = {}) {
  source?.close();
  source = null;
  title.textContent = heading;
  said.textContent = words;
  bar.hidden = true;
  stop.hidden = true;
  save.hidden = !kept;
  if (kept) save.href = kept;
  box.dataset.state = kept ? "made" : "over";
  if (document.activeElement === document.body || document.activeElement === stop) (kept ? save : box).focus();
  say(`${heading}. ${words}`);
}

function begin() {
  source?.close();
  title.textContent = "Making the pack";
  said.textContent = "Laying out the sheets";
  bar.removeAttribute("value");
  bar.hidden = stop.hidden = box.hidden = false;
  save.hidden = true;
  box.dataset.state = "making";
  spoken = Date.now();
  say("Making the pack");
  box.scrollIntoView({ block: "nearest" });
  source = new EventSource(`${form.dataset.progress}?${chosen()}`);
  source.addEventListener("news", ({ data }) => {
    const { done, total, words } = JSON.parse(data);
    if (total) {
      bar.max = total;
      bar.value = done;
    }
    said.textContent = words;
    if (Date.now() - spoken < QUIET) return;
    spoken = Date.now();
    say(words);
  });
  source.addEventListener("made", ({ data }) => {
    const { url, words } = JSON.parse(data);
    over("The pack is made", `${words}. It is kept for ${box.dataset.minutes} minutes.`, { kept: url });
    save.click();
  });
  source.addEventListener("failed", ({ data }) => over("The pack was not made", JSON.parse(data).words));
  source.onerror = () => over("The pack was not made", "Holewise stopped answering. Nothing of the pack is left; make it again.");
}

form.addEventListener("submit", (event) => {
  if (event.submitter && event.submitter.id !== "pack-make") return;
  event.preventDefault();
  begin();
});

stop.addEventListener("click", () => over("Stopped", "Nothing of the pack is left."));
window.addEventListener("pagehide", () => source?.close());

document.documentElement.dataset.ready = "yes";

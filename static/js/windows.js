// Several windows on one design: each says what it changed, and one that is behind looks again and says why.

import { say } from "./bench.js";
import { fieldsIn, unsent } from "./forms/fields.js";
import { ask, inTurn, root } from "./forms/turns.js";

const NAME = Math.random().toString(36).slice(2, 14); // of this window, as long as the page stays
const channel = "BroadcastChannel" in window ? new BroadcastChannel("holewise") : null;

// Every change says which window it comes from, so that no window is told of its own steps.
document.addEventListener("htmx:configRequest", (event) => {
  if (event.detail.verb === "post") event.detail.parameters.window = NAME;
});

let shown = root()?.dataset.revision ?? "";

document.addEventListener("htmx:afterSwap", () => {
  const now = root()?.dataset;
  if (!now) return;
  plainAddress();
  closable();
  if (now.revision === shown) return;
  shown = now.revision;
  channel?.postMessage({ design: now.design, revision: now.revision });
});

// What the address said of other windows is on screen now, and must not come again when the page is loaded anew.
function plainAddress() {
  const address = new URL(location.href);
  const before = address.search;
  for (const name of ["since", "own", "halted"]) address.searchParams.delete(name);
  if (address.search !== before) history.replaceState(history.state, "", address);
}
plainAddress();

// It covers something, so it can be put away; without scripts it goes with the next page.
function closable() {
  const said = document.getElementById("told");
  if (!said || said.querySelector("button")) return;
  const close = Object.assign(document.createElement("button"), { type: "button", className: "small-button", textContent: "Close" });
  close.addEventListener("click", () => said.remove());
  said.append(close);
}
closable();

/** Whether somebody is at work here: what is in the hand or half typed must not be taken away. */
function busy() {
  const typed = fieldsIn(root()).some((field) => field.type !== "file" && unsent(field));
  return typed || root().matches(".dragging, .htmx-request") || root().querySelector("[aria-invalid], .htmx-request")
    || document.querySelector("dialog[open]");
}

let looking = false;
let heard = false; // of a change, since it was looked last
let missed = false; // heard of one while something was asked for here

/** Look again if the design is no longer what this page shows, whoever said so: words may come late, or twice. */
async function catchUp() {
  heard = true;
  if (looking) return;
  looking = true;
  while (heard) {
    heard = false;
    if (await isBehind()) await lookAgain();
  }
  looking = false;
}

async function isBehind() {
  const here = root()?.dataset;
  if (!here) return false;
  missed = busy(); // its next change is made on top of the newest, and it is told then; or when an answer has come
  if (missed) return false;
  const answer = await fetch(`/designs/${here.design}/now`, { cache: "no-store" }).catch(() => null);
  const now = answer?.ok ? await answer.text() : "";
  return Boolean(now && root()) && now !== root().dataset.revision && !busy();
}

async function lookAgain() {
  const at = new URL(location.href);
  at.searchParams.set("since", root().dataset.revision);
  await inTurn(() => ask("GET", at.pathname + at.search, {})).catch(() => {}); // that no answer came is said by forms/busy.js
  // A status message that comes with the page is not read out; one that changes is.
  const words = document.getElementById("told")?.textContent.trim();
  if (words) say(words);
}

document.addEventListener("htmx:afterRequest", () => {
  if (missed && !busy()) catchUp();
});

channel?.addEventListener("message", ({ data }) => {
  const here = root()?.dataset;
  if (here && data.design === here.design && data.revision !== here.revision) catchUp();
});

// Another browser, or another machine, cannot say so by itself: ask whenever this window is turned to.
function turnedTo() {
  if (document.visibilityState === "visible") catchUp();
}
document.addEventListener("visibilitychange", turnedTo);
window.addEventListener("focus", turnedTo);
window.addEventListener("pageshow", (event) => { if (event.persisted) turnedTo(); });

// The bar under the drawing: closer, farther, all of it, true size; and the same by single keys.

import { bench, drawing, say, selection } from "../bench.js";
import { check, pixelsPerMm } from "./glass.js";
import { singleKeys } from "./single_keys.js";
import { ARROWS, isWriting } from "./steps.js";
import { allow, bringIntoView, fitting, isWhole, isZoomed, panBy, scaleNow, showWhole, zoomTo } from "./zoom.js";

const STEP = 1.25; // times
const PAN = 60; // px by an arrow key, and by a tenth of it with Shift
const SAME = 0.002; // shares of true size that are not told apart

const button = (name) => document.querySelector(`#view-bar [data-view="${name}"]`);

const DO = {
  closer: () => zoomTo(scaleNow() * STEP),
  farther: () => zoomTo(scaleNow() / STEP),
  whole: showWhole,
  true: () => (pixelsPerMm() ? trueSize() : check(trueSize)),
  check: () => check(refresh),
};

function trueSize() {
  allow(pixelsPerMm());
  zoomTo(pixelsPerMm());
  bringIntoView(drawing().querySelector("#parts .selected"));
}

/** The scale in words: of the board on the glass once that is known, else of what all of it is shown at. */
function scaleWords() {
  const mm = pixelsPerMm();
  if (!mm) return `${Math.round(100 * scaleNow() / fitting())} %`;
  const times = scaleNow() / mm;
  if (Math.abs(times - 1) < SAME) return "1:1";
  return times < 1 ? `1:${short(1 / times)}` : `${short(times)}:1`;
}

const short = (number) => String(number < 10 ? Number(number.toFixed(2)) : Math.round(number));

function refresh() {
  if (!drawing() || !button("scale")) return;
  const mm = pixelsPerMm();
  allow(mm);
  const words = scaleWords();
  button("scale").textContent = words;
  const known = mm ? `Scale on this screen ${words}` : `${words} of the size that shows the whole board`;
  button("scale").setAttribute("aria-label", `${known}. Check the screen with a card or a rule`);
  button("scale").title = mm ? "Scale on this screen. Press to check it again." : "Press to set the size of this screen.";
  button("whole").setAttribute("aria-pressed", String(isWhole()));
  button("true").setAttribute("aria-pressed", String(words === "1:1"));
}

document.addEventListener("holewise:view", refresh);
document.addEventListener("htmx:afterSwap", refresh);
window.addEventListener("resize", refresh);
window.visualViewport?.addEventListener("resize", refresh);
refresh();

function act(name) {
  DO[name]();
  if (name !== "check" && !(name === "true" && !pixelsPerMm())) say(`Scale ${scaleWords()}`);
}

document.addEventListener("click", (event) => {
  const name = event.target.closest?.("#view-bar [data-view]")?.dataset.view;
  if (name === "scale") act("check");
  else if (name in DO) act(name);
});

// -- keys --------------------------------------------------------------------------------------------------

const KEYS = { "+": "closer", "=": "closer", "-": "farther", "−": "farther", 0: "whole", 1: "true" };
const listOpen = () => document.getElementById("shortcuts")?.matches(":popover-open") || document.querySelector("dialog[open]");

document.addEventListener("keydown", (event) => {
  if (!drawing() || event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || listOpen()) return;
  if (isWriting(event.target)) return;
  if (KEYS[event.key] && singleKeys()) {
    event.preventDefault();
    act(KEYS[event.key]);
  } else if (event.key.toLowerCase() === "g" && singleKeys()) {
    event.preventDefault();
    button("grid").click();
  } else if (ARROWS[event.key] && isZoomed() && nothingInHand()) {
    event.preventDefault();
    const far = event.shiftKey ? PAN / 10 : PAN;
    panBy(-ARROWS[event.key][0] * far, -ARROWS[event.key][1] * far); // the board goes the other way
  }
});

// Arrows move what is selected, and scroll what has the focus; only else the view.
function nothingInHand() {
  const at = document.activeElement;
  return !selection().length && (at === document.body || (document.getElementById("drawing").contains(at) && !at.closest("[data-placement]")))
    && Boolean(bench());
}

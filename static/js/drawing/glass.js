// The size of the glass: how many pixels of this screen a millimetre is, found once with a card or a ruler.
// Kept with what tells one screen from another, so that another zoom of the browser or another monitor asks again.

import { keep, recall } from "../forms/kept.js";

const LEAST = 0.5; // px for a millimetre: no screen is coarser, however far a browser is zoomed
const MOST = 40;
const CARD = [85.6, 53.98]; // mm: sides of a card of the size ID-1 of ISO/IEC 7810, nominal
const WIDEST = 7; // px for a millimetre of the finest screens: with less room for the card than that it stands upright

const dialog = () => document.getElementById("glass");
const inside = (name) => dialog().querySelector(`[data-glass="${name}"]`);

/** What tells this screen, at this zoom of the browser, from others. */
function screenNow() {
  const { width, height } = window.screen;
  return [window.devicePixelRatio.toFixed(3), Math.min(width, height), Math.max(width, height)].join(" ");
}

const known = () => Object(recall("glass"));

/** Pixels for a millimetre on the glass; 0 as long as nobody has checked. */
export function pixelsPerMm() {
  const found = Number(known()[screenNow()]);
  if (!(found >= LEAST && found <= MOST)) return 0;
  return found / (window.visualViewport?.scale ?? 1); // a page pinched larger shows everything larger
}

// -- the check ---------------------------------------------------------------------------------------------

let value = 0; // as far as it has been found in the dialog
let then = null; // what waits for it
let side = CARD[0]; // the side of the card that lies across

/** Check the screen; ``done`` is called when it has been. */
export function check(done) {
  then = done;
  value = pixelsPerMm() || 96 / 25.4; // what style sheets take a millimetre for
  dialog().showModal();
  layCard(inside("room").clientWidth);
  const wide = inside("bar").getBoundingClientRect().width;
  inside("bar-words").textContent = `The bar is ${Math.round(wide)} pixels long.`;
  tell("");
  inside("length").value = "";
  draw();
}

// On a phone the card is longer than the screen is wide.
function layCard(room) {
  const upright = room < CARD[0] * WIDEST;
  const [long, short] = CARD;
  side = upright ? short : long;
  inside("card").setAttribute("viewBox", upright ? `0 0 ${short} ${long}` : `0 0 ${long} ${short}`);
  inside("face").setAttribute("transform", upright ? `translate(${short} 0) rotate(90)` : "");
  inside("slide").max = String(Math.max(room / side, value));
}

function draw() {
  inside("card").style.width = `${value * side}px`;
  inside("slide").value = String(value);
  const wide = inside("bar").getBoundingClientRect().width;
  inside("bar").setAttribute("aria-label", `Bar about ${(wide / value).toFixed(1)} millimetres long`);
}

function take(next) {
  value = Math.min(Math.max(next, LEAST), MOST);
  draw();
}

function tell(words) {
  inside("wrong").textContent = words;
  inside("wrong").hidden = !words;
  inside("length").toggleAttribute("aria-invalid", Boolean(words));
  if (words) inside("length").setAttribute("aria-invalid", "true");
}

const NUMBER = /^(?:(\d+)[ -]+)?(\d+(?:[.,]\d+)?)(?:\/(\d+))?$/;

/** A measured length in millimetres: ``104``, ``10.4 cm``, ``4 1/8 in``, ``4.1"``; NaN for anything else. */
export function measured(text, unit) {
  const said = text.trim().toLowerCase();
  const ending = said.match(/(mm|cm|inch(?:es)?|in|"|″)$/)?.[0] ?? "";
  const found = said.slice(0, said.length - ending.length).trim().match(NUMBER);
  if (!found) return NaN;
  const part = Number(found[2].replace(",", ".")) / Number(found[3] ?? 1);
  const each = { mm: 1, cm: 10 }[ending || unit] ?? 25.4;
  return (Number(found[1] ?? 0) + part) * each;
}

function typed() {
  const text = inside("length").value;
  if (!text.trim()) return tell("");
  const wide = inside("bar").getBoundingClientRect().width;
  const found = wide / measured(text, inside("length").dataset.unit);
  if (Number.isNaN(found)) return tell(`“${text.trim()}” is not a length. Type it like 104, 10.4 cm or 4 1/8 in.`);
  if (found < LEAST || found > MOST) return tell(`A bar of ${text.trim()} would not fit any screen. Measure the bar again.`);
  tell("");
  return take(found);
}

document.addEventListener("input", (event) => {
  const what = event.target.dataset?.glass;
  if (what === "slide") {
    inside("length").value = "";
    tell("");
    take(Number(event.target.value));
  }
  if (what === "length") typed();
});

document.addEventListener("click", (event) => {
  const step = event.target.closest?.("[data-glass-step]");
  // By half a pixel of the card, which is as fine as an eye can tell.
  if (step) take(value + Number(step.dataset.glassStep) * 0.5 / side);
});

document.addEventListener("submit", (event) => {
  if (event.target.closest?.("#glass") === null || event.target.method !== "dialog") return;
  if (event.submitter?.value !== "keep") return;
  if (!inside("wrong").hidden) {
    event.preventDefault();
    inside("length").focus();
    return;
  }
  keep("glass", { ...known(), [screenNow()]: value * (window.visualViewport?.scale ?? 1) });
  document.dispatchEvent(new CustomEvent("holewise:view"));
  then?.();
});

// What is pressed in the dialog is not for the board behind it.
dialog()?.addEventListener("keydown", (event) => event.stopPropagation());

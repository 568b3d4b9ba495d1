// Layers of the drawing, shown or not: kept in this browser. What the server draws only when asked, it is asked for.

import { bench, drawing, look } from "../bench.js";
import { keep, recall } from "../forms/kept.js";

const fold = () => document.getElementById("layers");
const boxes = () => [...document.querySelectorAll("#layers [data-layer]")];

// Only what somebody chose: the rest is as usual on the face in view.
let choice = Object(recall("layers"));
let asked = ""; // so that the server is asked once

const isOn = (box) => choice[box.dataset.layer] ?? box.defaultChecked;

function show() {
  const off = [];
  for (const box of boxes()) {
    box.checked = isOn(box);
    if (!box.checked) off.push(box.dataset.layer);
  }
  document.documentElement.dataset.off = off.join(" ");
  askForMissing();
}

// What every request carries on of the view; there is no field of what is as usual.
function viewField() {
  const form = document.getElementById("view");
  return form.elements.layers ?? form.appendChild(Object.assign(document.createElement("input"), { type: "hidden", name: "layers" }));
}

function askForMissing() {
  if (!drawing() || !boxes().length) return;
  const onDemand = boxes().filter((box) => "drawn" in box.dataset);
  const wanted = onDemand.filter((box) => box.checked).map((box) => box.dataset.layer).join(",");
  viewField().value = wanted;
  const missing = onDemand.some((box) => box.checked && box.dataset.drawn !== "yes");
  const question = `${bench().dataset.face} ${wanted}`;
  const again = missing && question !== asked;
  asked = missing ? question : "";
  if (again) look();
}

document.addEventListener("change", (event) => {
  const name = event.target.dataset?.layer;
  if (!name) return;
  choice = { ...choice, [name]: event.target.checked };
  if (event.target.checked === event.target.defaultChecked) delete choice[name];
  keep("layers", choice);
  asked = "";
  show();
});

// The list stays open while its boxes are gone through, and the box in hand in hand.
let inHand = null;
document.addEventListener("htmx:beforeSwap", () => {
  inHand = fold()?.open ? document.activeElement?.closest("#layers [id]")?.id ?? "" : null;
});
document.addEventListener("htmx:afterSwap", () => {
  if (inHand !== null && fold()) {
    fold().open = true;
    document.getElementById(inHand)?.focus({ preventScroll: true });
  }
  inHand = null;
  show();
});
show();

// -- the fold ----------------------------------------------------------------------------------------------

document.addEventListener("pointerdown", (event) => {
  if (fold()?.open && !fold().contains(event.target)) fold().open = false;
});

// Before anybody else hears of it: the key puts away the fold, and nothing on the board.
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || !fold()?.open) return;
  event.preventDefault();
  event.stopPropagation();
  fold().open = false;
  fold().querySelector("summary").focus();
}, { capture: true });

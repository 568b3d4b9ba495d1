// Handles of the board: a pointer or the arrow keys pull one, the server says what comes of it.
// Nothing here knows a measure of the board; it counts the hand's way in the drawing's own coordinates.

import { isTyping } from "./fields.js";
import { ask as asked, inTurn } from "./turns.js";
import "./windows.js";

const STILL = 4; // px a pressed pointer may tremble before it is a drag
const REACH = 22; // px round a handle within which a finger means it: a target of 44 px
const PAUSE = 450; // ms without a key after which a run of steps is put down, as one
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

let pull = null; // what is being pulled: handle, how far, and by what
let press = null;
let timer = 0;
let refocus = "";
let wanted = null;
let asking = null;

const board = () => document.getElementById("board");
const drawing = () => document.getElementById("shape-svg");
const group = (name) => drawing().querySelector(`[data-handle="${CSS.escape(name)}"]`);
const said = () => document.getElementById("board-said");
const view = () => Object.fromEntries(new FormData(document.getElementById("board-view")));
const scale = () => drawing().getScreenCTM().a;
const say = (words) => { document.getElementById("live").textContent = words; };

function send(method, path, values) {
  return inTurn(() => asked(method, `/designs/${board().dataset.design}/board${path}`, values));
}

// -- pulling -----------------------------------------------------------------------------------------------

function take(name) {
  if (pull) return;
  pull = { name, dx: 0, dy: 0, free: false, alone: false };
  drawing().classList.add("pulling");
  group(name).classList.add("pulled");
}

function to(dx, dy, { free, alone }) {
  Object.assign(pull, { dx, dy, free, alone });
  wanted = values();
  asking ??= ask();
}

const values = () => ({
  ...view(), handle: pull.name, dx: pull.dx, dy: pull.dy, free: pull.free ? "on" : "", alone: pull.alone ? "on" : "",
});

// One request at a time, and always the newest place.
async function ask() {
  while (wanted) {
    const now = wanted;
    wanted = null;
    await window.htmx.ajax("POST", `/designs/${board().dataset.design}/board/preview`, {
      source: "#live", swap: "none", values: now,
    });
    follow();
    await new Promise((go) => { requestAnimationFrame(go); setTimeout(go, 40); });
  }
  asking = null;
}

function follow() {
  const { x, y, wrong } = said().dataset;
  if (!pull || wrong || x === undefined) return;
  group(pull.name)?.setAttribute("transform", `translate(${x} ${y})`);
}

async function settle() {
  wanted = null;
  if (asking) await asking;
}

async function putDown() {
  const sent = values();
  clearTimeout(timer);
  timer = 0;
  refocus = pull.name;
  await settle();
  pull = null;
  await send("POST", "/drag", sent);
}

async function putBack() {
  clearTimeout(timer);
  timer = 0;
  refocus = pull.name;
  await settle();
  pull = null;
  await look({});
}

function look(values) {
  const { unit, seen, ...rest } = { ...view(), ...values };
  return send("GET", "", Object.fromEntries(Object.entries(rest).filter(([, value]) => value)));
}

/** Take a handle in hand: what can be typed of it is opened beside the drawing. */
const hold = (name) => look({ hold: name, group: "" });

// -- the pointer -------------------------------------------------------------------------------------------

function meant(event) {
  const svg = event.target.closest?.("#shape-svg");
  if (!svg) return "";
  const under = event.target.closest("[data-handle]");
  if (event.pointerType !== "touch") return under?.dataset.handle ?? "";
  return nearest(svg, event);
}

// A finger covers several handles: the nearest is meant.
function nearest(svg, { clientX, clientY }) {
  let best = { far: REACH, name: "" };
  for (const each of svg.querySelectorAll("[data-handle]")) {
    const { left, right, top, bottom } = each.querySelector(".handle-form").getBoundingClientRect();
    const far = Math.hypot((left + right) / 2 - clientX, (top + bottom) / 2 - clientY);
    if (far <= best.far) best = { far, name: each.dataset.handle };
  }
  return best.name;
}

// A finger on a handle pulls it; anywhere else it scrolls. Browsers do not heed touch-action inside a drawing.
document.addEventListener("touchstart", (event) => {
  const svg = event.target.closest?.("#shape-svg");
  if (svg && event.touches.length === 1 && nearest(svg, event.touches[0])) event.preventDefault();
}, { passive: false });

document.addEventListener("pointerdown", (event) => {
  if (press || !event.isPrimary) {
    press = null; // a second finger never edits
    if (pull) putBack();
    return;
  }
  if (timer) putDown();
  const name = event.button === 0 ? meant(event) : "";
  if (!name || pull) return;
  press = { name, pointer: event.pointerId, x: event.clientX, y: event.clientY };
  drawing().setPointerCapture(event.pointerId);
});

document.addEventListener("pointermove", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  const [dx, dy] = [event.clientX - press.x, event.clientY - press.y];
  if (!pull && Math.hypot(dx, dy) <= STILL) return;
  take(press.name);
  to(dx / scale(), -dy / scale(), { free: event.altKey, alone: event.ctrlKey || event.metaKey });
});

document.addEventListener("pointerup", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  const { name } = press;
  press = null;
  if (pull) putDown();
  else {
    refocus = name;
    hold(name);
  }
});

document.addEventListener("pointercancel", () => {
  press = null;
  if (pull) putBack();
});

// -- the keyboard ------------------------------------------------------------------------------------------

document.addEventListener("keydown", (event) => {
  if (!board() || event.target.closest?.("input, select, textarea")) return;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const command = event.ctrlKey || event.metaKey;
  if (command && (key === "z" || key === "y")) {
    event.preventDefault();
    document.getElementById(key === "y" || event.shiftKey ? "redo" : "undo").click();
    return;
  }
  if (key === "Escape" && pull) {
    event.preventDefault();
    press = null;
    putBack();
    return;
  }
  const name = document.activeElement?.closest?.("#shape-svg [data-handle]")?.dataset.handle;
  if (!name || press) return;
  if (ARROWS[key]) {
    event.preventDefault();
    if (asking && !pull) return; // what was let go a moment ago is still on its way
    step(name, ARROWS[key], event);
  } else if (key === "Enter" || key === " ") {
    event.preventDefault();
    refocus = name;
    if (pull) putDown();
    else hold(name);
  } else if ((key === "Delete" || key === "Backspace") && name.startsWith("corner-") && !pull) {
    event.preventDefault();
    const [, ring, index] = name.split("-");
    refocus = name;
    send("POST", "/corner-remove", { ...view(), ring, index });
  }
});

function step(name, [right, back], { shiftKey, ctrlKey, metaKey }) {
  if (pull && pull.name !== name) return;
  const grid = Number(board().dataset.grid) * (shiftKey ? 0.1 : 1);
  const [dx, dy] = pull ? [pull.dx, pull.dy] : [0, 0];
  take(name);
  // Exactly a step: a corner that lies beside the grid stays as far beside it.
  to(dx + right * grid, dy + back * grid, { free: true, alone: ctrlKey || metaKey });
  clearTimeout(timer);
  timer = setTimeout(putDown, PAUSE);
}

document.addEventListener("focusin", (event) => {
  // Leaving a handle within the pause must not lose its steps.
  if (timer && pull && event.target.closest?.("[data-handle]")?.dataset.handle !== pull.name) putDown();
});
window.addEventListener("blur", () => { if (timer && pull) putDown(); });

// -- after the page was exchanged --------------------------------------------------------------------------

let step_ = "";
const lastStep = () => document.getElementById("undo")?.title ?? "";

function reach() {
  if (!matchMedia("(pointer: coarse)").matches) return;
  for (const grip of drawing().querySelectorAll(".grip")) grip.setAttribute("r", REACH / scale());
}

document.addEventListener("htmx:beforeSwap", (event) => {
  // A slow answer to something earlier must not take the drawing out from under the hand.
  if (pull && event.detail.target === board()) event.detail.shouldSwap = false;
  step_ = lastStep();
});

document.addEventListener("htmx:afterSwap", (event) => {
  if (event.detail.target.id !== "board" && event.target.id !== "board") return;
  reach();
  const wrong = board().querySelector("[aria-invalid]") ?? board().querySelector(".side > .wrong");
  if (refocus) group(refocus)?.focus({ preventScroll: true });
  if (wrong?.matches("[aria-invalid]") && !isTyping()) wrong.focus();
  else if (wrong?.matches("[aria-invalid]")) say(document.getElementById(wrong.getAttribute("aria-describedby")).textContent);
  else if (wrong) say(wrong.textContent);
  else if (lastStep() !== step_) say(`${lastStep()}. ${document.getElementById("board-tally").textContent.trim()}`);
  refocus = "";
});

reach();
document.documentElement.dataset.ready = "yes";

// The grid that draws the parts, shown under them: the server's own step, or so many of it that the lines do not crowd.

import { bench, drawing } from "../bench.js";
import { keep, recall } from "../forms/kept.js";
import { scaleNow } from "./zoom.js";

const CLOSE = 8; // px: lines nearer to each other are left out
const CLEAR = 16; // px: from here on they are as strong as can be
const NEXT = { mm: [1, 2, 5, 10, 20, 50, 100, 200, 500], inch: [1, 2, 4, 8, 16, 32, 64, 128, 256] };
const SVG = "http://www.w3.org/2000/svg";

const button = () => document.querySelector('#view-bar [data-view="grid"]');
let isOn = recall("grid") === true;

function make(name, attributes, parent) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return parent.appendChild(made);
}

// Clipped to the board by a copy of its own outline.
function layer(svg) {
  const face = svg.querySelector("#board .board");
  const group = make("g", { id: "grid", "aria-hidden": "true" }, svg.querySelector("#board"));
  const clip = make("clipPath", { id: "grid-clip" }, group);
  clip.append(face.cloneNode());
  const lines = make("g", { "clip-path": "url(#grid-clip)" }, group);
  make("path", { class: "grid-fine" }, lines);
  make("path", { class: "grid-coarse" }, lines);
  return group;
}

function draw() {
  const svg = drawing();
  button()?.setAttribute("aria-pressed", String(isOn));
  if (!svg) return;
  let group = svg.querySelector("#grid");
  if (!isOn) return group?.remove();
  group ??= layer(svg);
  const scale = scaleNow();
  const step = Number(bench().dataset.grid);
  const times = NEXT[bench().dataset.unit] ?? NEXT.mm;
  const first = Math.max(0, times.findIndex((each) => each * step * scale >= CLOSE));
  const [fine, coarse] = [times[first] * step, times[Math.min(first + 2, times.length - 1)] * step];
  const box = seenPart(svg, group);
  const path = (pitch) => lines(box, pitch);
  group.dataset.step = String(fine);
  const [thin, bold] = group.querySelectorAll("g > path");
  thin.setAttribute("d", path(fine));
  bold.setAttribute("d", path(coarse));
  thin.style.opacity = String(Math.min(1, 0.35 + 0.65 * (fine * scale - CLOSE) / (CLEAR - CLOSE)));
  return undefined;
}

// What of the board is in view, and where the datum edge is: the underside counts from the right.
function seenPart(svg, group) {
  const board = svg.querySelector("#board .board").getBBox();
  const [x, y, wide, high] = svg.getAttribute("viewBox").split(" ").map(Number);
  return {
    x0: Math.max(board.x, x - wide), x1: Math.min(board.x + board.width, x + 2 * wide),
    y0: Math.max(board.y, y - high), y1: Math.min(board.y + board.height, y + 2 * high),
    datum: bench().dataset.face === "under" ? 2 * board.x + board.width : 0,
  };
}

function lines({ x0, x1, y0, y1, datum }, pitch) {
  const found = [];
  for (let k = Math.ceil((x0 - datum) / pitch); datum + k * pitch <= x1; k += 1) found.push(`M${datum + k * pitch} ${y0}V${y1}`);
  for (let k = Math.ceil(y0 / pitch); k * pitch <= y1; k += 1) found.push(`M${x0} ${k * pitch}H${x1}`);
  return found.join("");
}

document.addEventListener("click", (event) => {
  if (!event.target.closest?.('#view-bar [data-view="grid"]')) return;
  isOn = !isOn;
  keep("grid", isOn);
  draw();
});

document.addEventListener("holewise:view", draw);
document.addEventListener("htmx:afterSwap", draw);
draw();

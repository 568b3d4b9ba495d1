// Asks what a move would come to: one request at a time, and always the newest place, never a queue.

import { address, view } from "../bench.js";
import { fieldsIn, isKept } from "../forms/fields.js";

let wanted = null;
let running = null;
let closing = false; // nothing is asked but what waits already

async function run() {
  while (wanted) {
    const { path, values, rests } = wanted;
    wanted = null;
    const began = performance.now();
    const answer = await ask(path, values);
    const took = performance.now() - began;
    if (answer) {
      show(answer);
      tell("holewise:shown", values);
    }
    if (!closing) await breathe(Math.max(PACE - (performance.now() - began), Math.min(took, LONGEST_BREATH)));
    // A frame begins with the newest place of the pointer: that is the one to ask about, and not one that was old when
    // the breath ended.
    await frame();
    // Once the hand rests, there is time for what takes longer: how many sheets of paper it would be.
    if (rests && !closing && !wanted && !values.still && (await rest())) {
      wanted ??= { path, rests, values: { ...values, still: "on" } };
    }
  }
  running = null;
  closing = false;
}

// What is in the hand moves with every frame; what is said of it need not come oftener than an eye reads it: every
// third frame of most screens, and the breath ends within the one before. An answer that took long comes from a server
// that others wait for too, so it has as long again for them.
const PACE = 42; // ms from one question to the breath's end, at the least
const LONGEST_BREATH = 400; // ms

let hurry = null;

const breathe = (time) => new Promise((go) => {
  hurry = go;
  setTimeout(go, time);
});

/** The next frame; a page that is hidden has none, and must not be waited for. */
const frame = () => new Promise((go) => { requestAnimationFrame(go); setTimeout(go, 40); });

const REST = 90; // ms without a new place after which the hand rests

let waker = null;

function rest() {
  return new Promise((go) => {
    const timer = setTimeout(() => go(true), REST);
    waker = () => { clearTimeout(timer); go(false); };
  });
}

/** For whoever measures: a place was asked about, and what it comes to is on the page. */
const tell = (name, detail) => document.dispatchEvent(new CustomEvent(name, { detail }));

// Not by htmx: it looks at every element that goes or comes, and a drag exchanges thousands of them a second.
async function ask(path, values) {
  tell("holewise:asked", values);
  const answer = await fetch(address(path), {
    method: "POST", body: new URLSearchParams({ ...view(), ...values }), headers: { "HX-Request": "true" },
  }).catch(() => null);
  if (!answer) tell("htmx:sendError");
  if (answer?.ok) return answer.text();
  if (answer) document.getElementById("notice").innerHTML = await answer.text(); // says what is wrong
  return "";
}

const mould = document.createElement("template");

/** Put each piece of an answer in its place; what is the same as before, or holds what is being written, stays as it is. */
function show(answer) {
  mould.innerHTML = answer;
  for (const piece of [...mould.content.children]) {
    const [how, where] = piece.getAttribute("hx-swap-oob").split(":");
    const target = where ? document.querySelector(where) : document.getElementById(piece.id);
    if (how === "outerHTML") target?.replaceWith(piece);
    else if (target && !fieldsIn(target).some(isKept)) renew(target, piece);
  }
}

function renew(target, piece) {
  const old = [...target.childNodes];
  const fresh = [...piece.childNodes];
  // Alike from both ends: whatever came or went in the middle, the rest is not drawn anew.
  let first = 0;
  while (first < old.length && first < fresh.length && old[first].isEqualNode(fresh[first])) first += 1;
  let last = 0;
  while (last < old.length - first && last < fresh.length - first && old.at(-1 - last).isEqualNode(fresh.at(-1 - last))) last += 1;
  const before = old[old.length - last] ?? null;
  const gone = old.slice(first, old.length - last);
  const come = fresh.slice(first, fresh.length - last);
  come.forEach((node, index) => {
    const at = gone[index];
    if (at?.isEqualNode(node)) return;
    if (at) at.replaceWith(node);
    else target.insertBefore(node, before);
  });
  gone.slice(come.length).forEach((node) => node.remove());
}

/**
 * Show what a move would come to.
 *
 * @param path of the question
 * @param values what is moved, and to where
 * @param rests whether there is more to be told once the hand rests
 */
export function preview(path, values, rests = false) {
  wanted = { path, values, rests };
  waker?.();
  running ??= run();
}

/**
 * Wait for what was asked: a late answer must not cover a newer one. What was not asked yet is forgotten, unless the
 * newest place has to be answered as well.
 */
export async function settle(newest = false) {
  if (!newest) wanted = null;
  if (!running) return;
  closing = true;
  waker?.();
  hurry?.();
  await running;
}

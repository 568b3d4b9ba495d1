// What the modules share: the page's root and its view, and asking the server about it.
// Nothing here knows a measure or a rule; the server answers with what is to be shown.

import { ask, inTurn, root } from "./forms/turns.js";

/** The element that is exchanged after every change. */
export const bench = root;

/** The drawing a pointer works on. */
export const drawing = () => document.getElementById("board-svg");

/** Ids of the selected parts, the one in hand first. */
export const selection = () => bench().dataset.select.split(",").filter(Boolean);

/** The group drawn for a part. */
export const partGroup = (id) => drawing()?.querySelector(`[data-placement="${CSS.escape(id)}"]`);

/** The view every request carries on: board, arrangement, face, units, selection. */
export function view() {
  return Object.fromEntries(new FormData(document.getElementById("view")));
}

/** Address of something of the design on this page. */
export const address = (path = "") => `/designs/${bench().dataset.design}${path}`;

// That no answer came is said by forms/busy.js.
const asked = (method, path, values) => inTurn(() => ask(method, address(path), values())).catch(() => {});

/** Make a change; the page is exchanged for what came of it. */
export const change = (path, values = {}) => asked("POST", path, () => ({ ...view(), ...values }));

/** Look again, perhaps with other parts selected. */
export const look = (values = {}) => asked("GET", bench().dataset.path, () => {
  const { unit, seen, ...rest } = { ...view(), ...values };
  return Object.fromEntries(Object.entries(rest).filter(([, value]) => value));
});

/** Where a pointer is, in the coordinates of the drawing. */
export function placeOf(svg, { clientX, clientY }) {
  return new DOMPoint(clientX, clientY).matrixTransform(svg.getScreenCTM().inverse());
}

/** Say something to a screen reader. */
export function say(words) {
  document.getElementById("live").textContent = words;
}

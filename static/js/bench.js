// What the modules share: the bench on screen, and asking the server about it.
// Nothing here knows a measure or a rule; the server answers with what is to be shown.

/** The element that is exchanged after every change. */
export const bench = () => document.getElementById("bench");

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

// One after the other: each answer exchanges the bench, and a request that waits on an exchanged one is lost.
let last = Promise.resolve();

function ask(method, path, values) {
  last = last.catch(() => {}).then(() => window.htmx.ajax(method, `/designs/${bench().dataset.design}${path}`, {
    source: "#bench", target: "#bench", swap: "outerHTML show:none", values: values(),
  }));
  return last;
}

/** Make a change; the bench is exchanged for what came of it. */
export const change = (path, values = {}) => ask("POST", path, () => ({ ...view(), ...values }));

/** Look again, perhaps with other parts selected. */
export const look = (values = {}) => ask("GET", "", () => {
  const { unit, seen, ...rest } = { ...view(), ...values };
  return Object.fromEntries(Object.entries(rest).filter(([, value]) => value));
});

/** Where a pointer is, in the coordinates of the drawing. */
export function placeOf(svg, event) {
  const point = new DOMPoint(event.clientX, event.clientY);
  return point.matrixTransform(svg.getScreenCTM().inverse());
}

/** Say something to a screen reader. */
export function say(words) {
  document.getElementById("live").textContent = words;
}

// Requests of a page go one after the other, in the order in which they were made, each with what stood in its form
// when it was made; and each answer is merged round what is in hand or not sent yet.

import { answering, meantBy, sending } from "./fields.js";
import { keepFolds } from "./folds.js";
import { merge } from "./merge.js";

/** What is exchanged as a whole after a change. */
export const root = () => document.querySelector("[hx-ext=merge]");

let last = Promise.resolve();
let waiting = 0;
let turn = 0; // of the request that is on its way
let ours = false;
let refused = false;

/** Make a request when those before it are answered; `form` is what is sent of, if a form is. */
export function inTurn(make, form = null) {
  const mine = sending(form);
  const go = () => {
    turn = mine;
    ours = true;
    try {
      return make();
    } finally {
      ours = false;
    }
  };
  const over = () => { waiting -= 1; };
  waiting += 1;
  const made = waiting === 1 ? Promise.resolve(go()) : last.then(go);
  last = made.then(over, over);
  return made;
}

/** Ask for the page anew, or post to it. */
export function ask(method, path, values, more = {}) {
  return window.htmx.ajax(method, path, {
    source: root(), target: root(), swap: "outerHTML show:none", values: newest(values), ...more,
  });
}

// A change is made on the revision that is on the page when it leaves: the steps before it are the hand's own.
function newest(values) {
  const given = Object.entries(values);
  const seen = root().dataset.revision;
  if (!seen || !given.some(([name]) => name === "seen")) return values;
  return { ...values, seen };
}

document.addEventListener("htmx:confirm", (event) => {
  const { elt, path, verb, target, triggeringEvent, etc, issueRequest } = event.detail;
  if (ours || target !== root()) return;
  event.preventDefault();
  const form = elt.matches("form") ? elt : null;
  const values = form ? standing(form, triggeringEvent?.submitter) : {};
  etc.returnPromise = true;
  etc.values = values;
  // Made later, it may come from an element that is exchanged by then: it is made from the page instead.
  const first = waiting === 0;
  inTurn(() => (first ? issueRequest(true) : ask(verb, path, values, { event: triggeringEvent })), form)
    .catch(() => {}); // that no answer came is said by forms/busy.js
});

function standing(form, submitter) {
  const values = Object.fromEntries(new FormData(form, submitter));
  for (const field of form.elements) {
    if (field.name in values && field.matches("input[type=text], input[type=search]")) values[field.name] = meantBy(field);
  }
  return values;
}

document.addEventListener("htmx:beforeSwap", ({ detail }) => {
  if (!root() || detail.requestConfig.target.id !== root().id) return;
  refused = detail.xhr.status >= 400;
  answering(turn, refused, root());
  if (detail.target.id !== root().id) return;
  // Asked from a page that was exchanged in the meantime: the answer belongs on the present one.
  detail.target = root();
  keepFolds(turn);
  detail.swapOverride = "merge show:none";
});

for (const lost of ["htmx:sendError", "htmx:timeout"]) {
  document.addEventListener(lost, () => { if (root()) answering(turn, true, root()); });
}

window.htmx.defineExtension("merge", {
  isInlineSwap: (style) => style === "merge",
  handleSwap(style, target, fragment, { elts }) {
    if (style !== "merge") return false;
    const fresh = fragment.querySelector(`#${CSS.escape(target.id)}`);
    if (fresh && merge(target, fresh, refused)) return [target];
    if (!fresh) return false;
    target.replaceWith(fresh);
    elts.splice(0, elts.length, fresh); // these are told that the page was exchanged
    return [fresh];
  },
});

// Pages that are loaded anew after a button: what was typed into another form of theirs and not sent is there again.

import { fieldsIn, held, name, put, unsent } from "./fields.js";

const KEY = "holewise.typed";

document.addEventListener("submit", (event) => {
  if (event.defaultPrevented) return;
  const typed = fieldsIn(document.body).filter((field) => field.form !== event.target && field.type !== "file" && unsent(field));
  try {
    sessionStorage.setItem(KEY, JSON.stringify({
      path: location.pathname, fields: typed.map((field) => [name(field), held(field)]),
    }));
  } catch {
    // A browser that keeps nothing shows the page as it comes.
  }
});

function again() {
  const kept = JSON.parse(sessionStorage.getItem(KEY) ?? "null");
  sessionStorage.removeItem(KEY);
  if (kept?.path !== location.pathname) return;
  const here = new Map(fieldsIn(document.body).map((field) => [name(field), field]));
  for (const [which, value] of kept.fields) {
    const field = here.get(which);
    if (!field) continue;
    put(field, value);
    const fold = field.closest("details");
    if (fold) fold.open = true;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

try {
  again();
} catch {
  // As above.
}

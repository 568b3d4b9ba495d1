// What a field holds: what the page gave it, what was sent of it, and what is only typed yet.
// Nothing that is only typed, and no field with the focus, is ever exchanged.

const FIELDS = "input:not([type=hidden]), select, textarea";
const TICKED = "[type=checkbox], [type=radio]";
const APART = new Set(["seen", "layers", "to", "face", "said", "page", "hold"]); // of the view, not of the thing

let turns = 0; // of requests, in the order they were made
let answered = 0; // the one whose answer is put on the page
const given = new WeakMap(); // field: what was sent of it last, and in which turn

// Whoever types in another field by now is not taken away from it.
let touched = 0;
for (const sign of ["focusin", "input"]) {
  document.addEventListener(sign, ({ target }) => { if (target.matches?.(FIELDS)) touched = turns; });
}

/** Whether somebody went to a field, or typed in one, since the request was made that is answered now. */
export const isTyping = () => Boolean(document.activeElement?.matches(FIELDS)) && touched >= answered;

/** Every field in an element, itself included. */
export const fieldsIn = (within) => (within.matches?.(FIELDS) ? [within] : [...within.querySelectorAll(FIELDS)]);

/** What stands in a field now. */
export const held = (field) => (field.matches(TICKED) ? String(field.checked) : field.value);

/** Have something stand in it. */
export function put(field, value) {
  if (field.matches(TICKED)) field.checked = value === "true";
  else field.value = value;
}

/** What the page gave it. */
function shown(field) {
  if (field.matches(TICKED)) return String(field.defaultChecked);
  if (field.tagName !== "SELECT") return field.defaultValue;
  return ([...field.options].find((option) => option.defaultSelected) ?? field.options[0])?.value ?? "";
}

/** Whether it holds what no answer on the page knows of yet. */
export function unsent(field) {
  const now = held(field);
  const sent = given.get(field);
  return now !== shown(field) && !(sent?.value === now && sent.turn <= answered);
}

/** Whether nothing may exchange it. */
export const isKept = (field) => field === document.activeElement || unsent(field);

/** A request is made, with what stands in a form; returns its turn. */
export function sending(form) {
  turns += 1;
  for (const field of form?.elements ?? []) {
    if (field.matches(FIELDS)) given.set(field, { value: held(field), turn: turns });
  }
  return turns;
}

/** The answer to a turn is put on the page; what it refuses is as if it had not been sent. */
export function answering(turn, refused, within) {
  answered = turn;
  if (!refused) return;
  for (const field of fieldsIn(within)) if (given.get(field)?.turn === turn) given.delete(field);
}

/** How many requests have been made. */
export const turnNow = () => turns;

/** Have a field say what the page says now, unless it is kept; that is not typed. */
export function tell(field, value) {
  if (isKept(field)) return;
  put(field, value);
  given.set(field, { value, turn: 0 });
}

/** Which field of which thing it is, so that it is found again on the page that comes. */
export function name(field) {
  const form = field.form;
  const chosen = form?.closest("#selected"); // what is about the selected parts is not about others
  const of = [...(form?.querySelectorAll("input[type=hidden]") ?? [])]
    .filter((each) => !APART.has(each.name) && !each.name.endsWith(".was") && (chosen || each.name !== "select"))
    .map((each) => `${each.name}=${each.value}`);
  const one = field.type === "radio" ? field.value : "";
  return JSON.stringify([form?.getAttribute("action"), field.name, field.id, one, of.sort()]);
}

/** The same fields on the page that comes, by those on the page that is; what is not there has no twin. */
export function twins(old, fresh) {
  const coming = new Map(fieldsIn(fresh).map((field) => [name(field), field]));
  return new Map(old.map((field) => [field, coming.get(name(field))]).filter(([, twin]) => twin));
}

/** A field stays as it is, whatever the page that comes says of it; it counts as typed only if it was. */
export function stay(field) {
  const settled = !unsent(field);
  const now = held(field);
  if (settled) given.set(field, { value: now, turn: 0 });
  if (field.tagName === "INPUT" && field.type !== "file") put(field, now); // from here on no attribute shows through
}

/** What a field shows that was kept from an answer only because it had the focus is not what a person asks for. */
export const meantBy = (field) => (unsent(field) || given.get(field)?.turn !== 0 ? held(field) : shown(field));

// Left, it says what the server made of it: 262 becomes 262 mm.
document.addEventListener("focusout", ({ target }) => {
  if (!target.matches?.(FIELDS) || target.tagName === "SELECT" || target.type === "file" || unsent(target)) return;
  if (held(target) !== shown(target)) put(target, shown(target));
});

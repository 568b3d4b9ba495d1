// An answer is merged round the fields that are in hand or hold what was not sent; everything else is exchanged.

import { fieldsIn, isKept, stay, twins } from "./fields.js";

let wrong = false; // the answer refuses what was typed, so that is no value of the page

/** Make the inside of an element as another's is, but leave alone what is kept; returns whether anything was. */
export function mergeInside(old, fresh) {
  const kept = twins(fieldsIn(old).filter(isKept), fresh);
  if (kept.size) children(old, fresh, kept);
  return kept.size > 0;
}

/** The same for the whole element; `refused` if the answer is not what was asked for but why not. */
export function merge(old, fresh, refused) {
  wrong = refused;
  const merged = mergeInside(old, fresh);
  if (merged) dress(old, fresh);
  wrong = false;
  return merged;
}

function weave(old, fresh, kept) {
  if (!kept.has(old)) {
    children(old, fresh, kept);
    return dress(old, fresh);
  }
  stay(old);
  return dress(old, fresh, wrong ? ["value", "checked"] : []);
}

// What is open round a field that is kept stays open.
function dress(old, fresh, not = []) {
  const left = (name) => not.includes(name);
  for (const { name } of [...old.attributes]) {
    if (name !== "open" && !left(name) && !fresh.hasAttribute(name)) old.removeAttribute(name);
  }
  for (const { name, value } of fresh.attributes) {
    if (!left(name) && old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
}

// Each old element with a kept field stays where it is, beside the new one that has its twin; the others go and come.
function children(old, fresh, kept) {
  const stays = pairs(old, fresh, kept);
  let place = old.firstChild;
  const clear = (end) => {
    while (place !== end) {
      const gone = place;
      place = place.nextSibling;
      old.removeChild(gone); // a form with a button named “remove” has no method of that name
    }
  };
  for (const node of [...fresh.childNodes]) {
    const staying = stays.get(node);
    if (!staying) {
      old.insertBefore(node, place);
      continue;
    }
    clear(staying);
    weave(staying, node, kept);
    place = staying.nextSibling;
  }
  clear(null);
}

function pairs(old, fresh, kept) {
  const found = new Map();
  const among = [...fresh.children];
  let from = 0;
  for (const child of old.children) {
    const field = fieldsIn(child).find((each) => kept.has(each));
    const at = field ? among.findIndex((each, index) => index >= from && each.contains(kept.get(field))) : -1;
    if (at < 0 || among[at].tagName !== child.tagName || kept.has(child) !== (among[at] === kept.get(field))) continue;
    found.set(among[at], child);
    from = at + 1;
  }
  return found;
}

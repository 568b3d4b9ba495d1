// What this browser keeps from one visit to the next; where it keeps nothing, the page works as it first comes.

/** What was kept under a name; null if nothing was, or it cannot be read. */
export function recall(name) {
  try {
    return JSON.parse(localStorage.getItem(`holewise.${name}`));
  } catch {
    return null;
  }
}

/** Keep a value under a name. */
export function keep(name, value) {
  try {
    localStorage.setItem(`holewise.${name}`, JSON.stringify(value));
  } catch {
    // Until the page is left it is as chosen all the same.
  }
}

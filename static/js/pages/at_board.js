// At the board: a press is sent, and kept on this phone until the server has answered it; the screen stays on.
// Without this script every button is a form like any other.

const RESTS = 350; // ms after a step appears in which no press counts: the second half of a double tap is not meant for it
const AGAIN = 5000; // ms until what is kept is sent again
const KEPT = "holewise-at-board";

const main = () => document.getElementById("at-board");
const notice = () => document.getElementById("atb-notice");

// -- what was pressed and not answered yet --------------------------------------------------------------

let memory = []; // where the browser keeps nothing for us

function kept() {
  try {
    return JSON.parse(localStorage.getItem(KEPT) ?? "[]");
  } catch {
    return memory;
  }
}

/** Keep a list of presses; false where it lasts only as long as this page. */
function keep(list) {
  memory = list;
  try {
    localStorage.setItem(KEPT, JSON.stringify(list));
    return true;
  } catch {
    return false;
  }
}

const same = (a, b) => a.action === b.action && a.body === b.body;

function line(words, ...more) {
  const box = Object.assign(document.createElement("div"), { className: "notice atb-kept" });
  box.append(Object.assign(document.createElement("p"), { textContent: words }), ...more);
  return box;
}

function button(words, act) {
  const made = Object.assign(document.createElement("button"), { type: "button", textContent: words });
  made.addEventListener("click", act);
  return made;
}

/** Say what is kept and not sent; nothing once all of it is. */
function tell(lasts = true) {
  notice().querySelectorAll(".waiting").forEach((old) => old.remove());
  const list = kept();
  if (!list.length) return;
  const where = lasts ? "Kept on this phone" : "Kept while this page is open";
  const box = line(
    `Holewise is not answering. ${where}, not sent yet: ${list.map((one) => one.said).join("; ")}. It is sent by itself once it answers.`,
    button("Send now", () => sendKept()),
  );
  box.classList.add("waiting");
  notice().append(box);
}

function refused(one, why) {
  const box = line(`Not marked: ${one.said}. ${why}`, button("I have read it", () => box.remove()));
  notice().append(box);
}

// -- sending --------------------------------------------------------------------------------------------

const post = ({ action, body }) => fetch(action, {
  method: "POST", body: new URLSearchParams(body), headers: { accept: "text/html" }, cache: "no-store",
});

let sending = null;
let timer = 0;

/** Send all that is kept, in its order, one press after the other; the last answer is shown. */
function sendKept() {
  sending ??= (async () => {
    clearTimeout(timer);
    let shown = null;
    const refusals = [];
    for (let list = kept(); list.length; list = kept()) {
      const [one] = list;
      let answer;
      try {
        answer = await post(one);
        shown = { url: answer.url, page: new DOMParser().parseFromString(await answer.text(), "text/html"), ok: answer.ok };
      } catch {
        shown = null;
        break;
      }
      if (answer.status >= 502) { // somebody in between says that nobody is there
        shown = null;
        break;
      }
      keep(kept().filter((other) => !same(one, other)));
      if (!answer.ok) refusals.push([one, said(shown.page)]);
    }
    if (shown) show(shown);
    refusals.forEach(([one, why]) => refused(one, why));
    if (kept().length) {
      tell();
      timer = setTimeout(() => sendKept(), AGAIN);
    }
    return kept().length;
  })().finally(() => {
    sending = null;
    wake();
  });
  return sending;
}

const said = (page) => page.querySelector("#atb-notice, .wrong, .plain-page p, h1")?.textContent.trim() || "Reload the page.";

/** Put a page that came in the place of this one. */
function show({ url, page, ok }) {
  const next = page.getElementById("at-board");
  if (!next) return;
  main().replaceWith(document.adoptNode(next));
  document.title = page.title;
  if (ok) history.pushState({}, "", url);
  begin();
  document.getElementById(ok ? "step" : "atb-notice")?.focus({ preventScroll: !ok });
  if (ok) window.scrollTo(0, 0);
}

async function press(form, submitter) {
  const body = new URLSearchParams(new FormData(form, submitter)).toString();
  const one = { action: form.getAttribute("action"), body, said: form.dataset.said ?? "" };
  main().inert = true;
  if (one.said) {
    // Kept before it is sent: a phone that goes dark, or a page that is closed meanwhile, loses nothing.
    const lasts = keep([...kept().filter((other) => !same(one, other)), one]);
    if (sending) await sending; // one that began before does not know of it
    if (await sendKept()) tell(lasts);
  } else {
    try {
      const answer = await post(one);
      show({ url: answer.url, page: new DOMParser().parseFromString(await answer.text(), "text/html"), ok: answer.ok });
    } catch {
      notice().replaceChildren(...notice().querySelectorAll(".waiting"), line("Holewise is not answering, so the next step cannot be shown. Your place is kept. Try again."));
    }
  }
  wake();
}

// Before any other listener: what is taken here is no load of a page.
document.addEventListener("submit", (event) => {
  if (!event.target.closest("#at-board")) return;
  event.preventDefault();
  if (!main().inert) press(event.target, event.submitter);
}, true);

function wake() {
  setTimeout(() => { main().inert = false; }, RESTS);
}

// -- the screen stays on --------------------------------------------------------------------------------

let lock = null;

async function stayAwake() {
  const words = document.getElementById("awake");
  const say = (text) => { if (words?.isConnected) words.textContent = text; };
  if (!("wakeLock" in navigator)) return say("This browser cannot keep the screen on: give your phone a longer time-out.");
  try {
    if (!lock || lock.released) lock = await navigator.wakeLock.request("screen");
    say("The screen stays on. Your place is kept.");
  } catch {
    say("The screen may go dark; your place is kept.");
  }
}

document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") stayAwake(); });
window.addEventListener("online", () => { if (kept().length) sendKept(); });
window.addEventListener("popstate", () => location.reload());

function begin() {
  main().inert = false;
  stayAwake();
  tell();
}

begin();
if (kept().length) sendKept();

// Work that takes a while is shown where it was asked for: the button, link or list that asked is busy until the
// answer is there. Short work shows nothing, so that nothing flickers; nothing moves, for it is drawn over what is there.

const CALM = 300; // ms before anything is shown

const waiting = new Map();

function begin(key, element) {
  done(key);
  waiting.set(key, {
    element, timer: setTimeout(() => element.setAttribute("aria-busy", "true"), CALM),
  });
}

function done(key) {
  const found = waiting.get(key);
  if (!found) return;
  clearTimeout(found.timer);
  found.element.removeAttribute("aria-busy");
  waiting.delete(key);
}

/** What was pressed, or what asks by itself. */
function asking({ elt, requestConfig }) {
  const event = requestConfig?.triggeringEvent;
  return event?.submitter ?? event?.target?.closest?.("a[href], button") ?? elt;
}

document.addEventListener("htmx:beforeRequest", ({ detail }) => begin(detail.xhr, asking(detail)));
for (const end of ["htmx:afterRequest", "htmx:sendAbort", "htmx:timeout"]) {
  document.addEventListener(end, ({ detail }) => done(detail.xhr));
}

// A form that loads a new page: its button is busy until that page is here. A file that is saved leaves this one.
document.addEventListener("submit", (event) => {
  if (event.defaultPrevented || event.target.target === "_blank") return;
  if (event.submitter) begin(event.target, event.submitter);
});
window.addEventListener("pageshow", () => {
  [...waiting.keys()].forEach(done);
  trying()?.remove();
});

// A link to a page that is long in the making: what is being tried meanwhile is said until that page is here.
const trying = () => document.querySelector("#notice > .trying");

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href]");
  const words = link?.closest("[data-trying]")?.dataset.trying;
  if (!words || event.defaultPrevented || event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
  begin(link, link);
  setTimeout(() => {
    if (!waiting.has(link)) return;
    const said = Object.assign(document.createElement("p"), { className: "notice plain trying", textContent: words });
    document.getElementById("notice").replaceChildren(said);
  }, CALM);
});

// The server is not there: said once, with the words that are on every page, until the next answer comes.
document.addEventListener("htmx:sendError", () => {
  const words = document.getElementById("no-answer").content.cloneNode(true);
  document.getElementById("notice").replaceChildren(words);
});
document.addEventListener("htmx:afterSwap", () => document.querySelector("#notice > .no-answer")?.remove());

// After the bench was exchanged: say what happened, and keep what the reader had open and scrolled to.

import { bench, say } from "./bench.js";
import { isTyping } from "./forms/fields.js";

// What hangs open from the head is closed by a click anywhere else, by Escape, and by what is done in it.
const HANGING = ".head details";
const hanging = () => document.querySelectorAll(`${HANGING}[open]`);

document.addEventListener("pointerdown", (event) => {
  for (const each of hanging()) if (!each.contains(event.target)) each.open = false;
});
document.addEventListener("keydown", (event) => {
  const held = event.key === "Escape" && document.activeElement?.closest(`${HANGING}[open]`);
  if (!held) return;
  event.stopPropagation();
  shut(held);
}, true);

function shut(each) {
  const inside = each.contains(document.activeElement);
  each.open = false;
  if (inside) each.querySelector("summary").focus();
}

const SCROLLED = ["palette", "side"];
let kept = null;

document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target !== bench() || !event.detail.shouldSwap) return;
  const old = bench();
  kept = {
    revision: old.dataset.revision,
    undo: old.dataset.undo,
    redo: redoes(),
    select: old.dataset.select,
    scroll: SCROLLED.map((id) => document.getElementById(id)?.scrollTop ?? 0),
    open: Object.fromEntries([...old.querySelectorAll("details[id]")]
      .filter((each) => !each.matches(HANGING)).map((each) => [each.id, each.open])),
  };
});

document.addEventListener("htmx:afterSwap", () => {
  if (!kept || !bench()) return;
  const { revision, select, scroll, open } = kept;
  const was = kept;
  kept = null;
  for (const [id, wasOpen] of Object.entries(open)) {
    const found = document.getElementById(id);
    if (found && !found.querySelector("[aria-invalid]")) found.open = wasOpen;
  }
  SCROLLED.forEach((id, index) => { document.getElementById(id)?.scrollTo({ top: scroll[index], behavior: "instant" }); });
  const notice = document.getElementById("notice");
  if (notice.dataset.stays) delete notice.dataset.stays;
  else notice.replaceChildren();
  const now = bench().dataset;
  const wrong = bench().querySelector("[aria-invalid]");
  if (wrong) return isTyping() ? say(wrong.form.querySelector(".wrong")?.textContent ?? "") : wrong.focus();
  if (now.revision !== revision && !isTyping()) hanging().forEach(shut);
  if (now.revision !== revision) say(`${happened(now, was)}. ${[inHand(), now.tally].filter(Boolean).join(". ")}.`);
  else if (now.select !== select) say(inHand() || "Nothing selected");
  else if (document.activeElement?.matches("nav a[aria-current]")) say(`${document.activeElement.firstChild.textContent.trim()}. ${now.tally}.`);
  return undefined;
});

const redoes = () => document.getElementById("redo")?.getAttribute("aria-label").replace(/^Redo(: )?/, "") ?? "";
const inHand = () => document.getElementById("selected")?.dataset.said ?? "";

// By the names of the steps before and after it.
function happened(now, { undo, redo }) {
  if (redo && now.undo === redo) return `Redone: ${redo}`;
  if (undo && undo === redoes()) return `Undone: ${undo}`;
  return now.undo ? `Last step: ${now.undo}` : "Back at the start";
}

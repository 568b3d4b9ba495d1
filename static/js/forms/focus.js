// The keyboard's place on a page outlives what is exchanged under it: the same control, or the next best one.

let held = null; // where the focus was: enough to find it again among new elements

// What a hand takes hold of on a drawing.
const DRAWN = "#parts [data-placement], #shape-svg [data-handle]";
const nameOf = ({ dataset }) => dataset.placement ?? dataset.handle;
const parts = (within) => [...within.querySelectorAll(DRAWN)];
const words = (element) => (element.getAttribute("aria-label") ?? element.textContent).trim();

function remember(element) {
  const part = element.closest?.(DRAWN);
  return {
    id: element.id,
    control: element.matches("button, a, input, select, summary") ? {
      tag: element.tagName, name: element.name ?? "", value: element.tagName === "BUTTON" ? element.value : "",
      words: words(element), action: element.form?.getAttribute("action") ?? "",
    } : null,
    region: element.closest?.("section[id], aside[id], main[id], header[id]")?.id ?? "",
    part: part ? nameOf(part) : "",
    place: part ? parts(document).indexOf(part) : -1,
  };
}

function again({ id, control, region, part, place }, within) {
  const chosen = within.dataset.select?.split(",").filter(Boolean) ?? [];
  if (part) {
    const group = (name) => parts(within).find((each) => nameOf(each) === name);
    // What came of it, a duplicate say, is what the hand goes on with; of a part that is gone, the next one.
    if (chosen.length && !chosen.includes(part)) return group(chosen[0]);
    return group(part) ?? parts(within)[place] ?? parts(within).at(-1) ?? within.querySelector("#drawing");
  }
  const same = id ? document.getElementById(id) : null;
  if (same && !same.disabled) return same;
  const area = (region && document.getElementById(region)) || within;
  return (control && alike(control, area))
    // The way to go on is beside the one that is gone or spent: Redo beside Undo.
    ?? (same && firstOf(same.closest("header, section"), "button"))
    ?? area.querySelector("[aria-current=step]") ?? focusable(area) ?? focusable(within);
}

function alike({ tag, name, value, words: said, action }, area) {
  const here = [...area.querySelectorAll(tag)].filter((each) => !each.disabled && each.checkVisibility());
  const near = here.filter((each) => (each.form?.getAttribute("action") ?? "") === action && (each.name ?? "") === name);
  return near.find((each) => words(each) === said && (tag !== "BUTTON" || each.value === value))
    ?? (tag === "BUTTON" && action && value === "" ? near[0] : undefined) ?? here.find((each) => words(each) === said);
}

const firstOf = (area, what) => [...(area?.querySelectorAll(what) ?? [])].find((e) => !e.disabled && e.checkVisibility());
const focusable = (area) => (area.hasAttribute("tabindex") ? area
  : firstOf(area, "a[href], button, input:not([type=hidden]), select, summary, [tabindex]"));

const lost = () => !document.activeElement || document.activeElement === document.body;

// A part that was pressed shows no frame; keys that go on from it bring the frame out, but putting down by Escape does not.
const root = document.documentElement;
document.addEventListener("pointerdown", () => { root.dataset.pressed = "yes"; }, { capture: true });
document.addEventListener("keydown", ({ key }) => { if (key !== "Escape") delete root.dataset.pressed; }, { capture: true });

document.addEventListener("htmx:beforeSwap", (event) => {
  const { target, shouldSwap } = event.detail;
  if (shouldSwap) held = target.contains(document.activeElement) ? remember(document.activeElement) : null;
});

document.addEventListener("htmx:afterSwap", () => {
  if (!held) return;
  const { part } = held;
  const within = document.querySelector("[data-design]");
  const to = within && (lost() || part) && !document.activeElement?.matches("[aria-invalid]") ? again(held, within) : null;
  held = null;
  if (to && to !== document.activeElement) to.focus({ preventScroll: Boolean(part) });
});

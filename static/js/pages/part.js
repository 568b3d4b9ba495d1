// The page of a part: the field in hand brings out its measure in the drawing, and the other way round.

const drawing = document.getElementById("part-drawing");
const measured = (name) => drawing.querySelector(`.dim[data-measure="${CSS.escape(name)}"]`);

function bringOut(name) {
  for (const each of drawing.querySelectorAll(".dim.on")) each.classList.remove("on");
  const found = name && measured(name);
  if (!found) return;
  found.classList.add("on");
  found.parentNode.append(found); // on top of the others
}

document.addEventListener("focusin", (event) => {
  const name = event.target.dataset?.measure;
  if (name) bringOut(name);
});

document.addEventListener("focusout", (event) => {
  if (event.target.dataset?.measure && !event.relatedTarget?.dataset?.measure) bringOut("");
});

// What is typed by hand counts as measured, as the server will say; put back, it counts as before.
document.addEventListener("input", (event) => {
  const name = event.target.dataset?.measure;
  if (!name) return;
  const row = event.target.closest(".measure-field");
  const mark = row.querySelector(".trust-mark");
  mark.dataset.before ??= mark.dataset.basis;
  const changed = event.target.value.trim() !== row.querySelector(`[name="${CSS.escape(name)}.was"]`).value;
  mark.dataset.basis = changed ? "measured" : mark.dataset.before;
  mark.querySelector(".trust-words").textContent = mark.dataset.basis;
});

drawing.addEventListener("click", (event) => {
  const name = event.target.closest(".dim")?.dataset.measure;
  if (name) document.getElementById(`field-${name}`).focus();
});

document.querySelector("[aria-invalid]")?.focus();
document.documentElement.dataset.ready = "yes";

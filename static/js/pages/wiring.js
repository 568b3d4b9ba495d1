// The page of wiring: a wire that is pointed at or has the focus is lit up, in the picture and in the list.

const named = (target) => target?.closest?.("[data-wire]")?.dataset.wire ?? "";
const every = (number) => document.querySelectorAll(`[data-wire="${CSS.escape(number)}"]`);

let lit = ""; // the wire that is lit by pointing

function light(number) {
  if (number === lit) return;
  for (const each of document.querySelectorAll(".wiring-page .lit")) each.classList.remove("lit");
  lit = number;
  const words = document.getElementById("lit-words");
  if (words) words.textContent = "";
  if (!number) return;
  for (const each of every(number)) {
    each.classList.add("lit");
    if (words && each.dataset.words) words.textContent = each.dataset.words;
    if (each.closest("svg")) each.parentNode.append(each); // on top of the others
  }
}

// A page that scrolls below a pointer at rest points at nothing.
document.addEventListener("pointermove", (event) => {
  const number = named(event.target);
  if (number && (event.movementX || event.movementY)) light(number);
});

document.addEventListener("pointerdown", (event) => {
  const number = named(event.target);
  if (number) light(number);
});

document.addEventListener("focusin", (event) => {
  const number = named(event.target);
  if (number) light(number);
});

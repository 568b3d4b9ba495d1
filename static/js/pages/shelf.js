// The list of designs was exchanged: say how many there are now; a page that was turned begins at its top.

let fold = false; // whether what was put away lay open

const found = () => document.getElementById("found");

document.addEventListener("htmx:beforeSwap", () => {
  fold = document.getElementById("put-away")?.open ?? false;
});

document.addEventListener("htmx:afterSwap", (event) => {
  const away = document.getElementById("put-away");
  if (away && fold) away.open = true;
  document.getElementById("live").textContent = found().dataset.said;
  const turned = event.detail.requestConfig.elt.closest(".pages, .pages a")?.matches("#put-away *");
  if (turned === undefined) return;
  const start = turned ? away : found();
  start.scrollIntoView();
  (turned ? away.querySelector("summary") : start).focus({ preventScroll: true });
});

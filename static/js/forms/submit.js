// A list that takes effect when something is chosen from it, as its button does without scripts.

document.addEventListener("change", (event) => {
  const list = event.target.closest?.("select[data-submit], .paper-form select");
  list?.form.requestSubmit();
});

// The shapes on offer are those that so many buttons can have, each with its size; what the server knows of them comes along.

const buttons = document.getElementById("field-buttons");
const shape = document.getElementById("field-shape");
const fields = JSON.parse(buttons.dataset.fields);
const plain = new Map([...shape.options].map((option) => [option, option.text.replace(/ \(.*\)$/, "")]));
let wanted = shape.value; // what was chosen, for a number that can have it again

function offer() {
  const known = fields[Number(buttons.value)];
  if (!known) return; // no such number: the form says so when it is sent
  for (const [option, words] of plain) {
    const size = known[option.value];
    option.text = size ? `${words} (${size})` : words;
    option.hidden = option.disabled = !size;
  }
  shape.value = known[wanted] ? wanted : Object.keys(known)[0];
}

shape.addEventListener("input", () => { wanted = shape.value; });
buttons.addEventListener("input", offer);
offer();

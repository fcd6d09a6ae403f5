// The large keypad: shown when there is a finger, and then the phone's own keyboard stays away.

function press(field, key) {
  const typed = field.closest(".offered") ? "" : field.value; // what was only offered is typed over
  if (key === "del") field.value = typed.slice(0, -1);
  else if (key !== ".") field.value = typed + key;
  else if (!/[.,]/.test(typed)) field.value = (typed || "0") + ".";
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function join(field) {
  const pad = document.getElementById(field.dataset.keypad);
  if (!pad) return;
  pad.hidden = false;
  if (matchMedia("(pointer: coarse)").matches) field.inputMode = "none";
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]");
    if (key) press(field, key.dataset.key);
  });
}

for (const field of document.querySelectorAll("input[data-keypad]")) join(field);

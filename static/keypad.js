// The large keypad, shown when there is a finger, and then the phone's own keyboard stays away; and numbers in one tap.

/** What stands in a field after a key. Where about the figure is known, its point is set after as many digits by itself:
 * a point that was tapped stands where it was tapped, and moves one that came by itself. */
function after(field, typed, key) {
  const has = /[.,]/.test(typed);
  if (key === "del") return typed.slice(0, -1).replace(/[.,]$/, field.dataset.pointed ? "" : "$&");
  if (key === ".") {
    const moves = has && field.dataset.pointed;
    delete field.dataset.pointed;
    return has && !moves ? typed : (typed.replace(/[.,]/, "") || "0") + ".";
  }
  if (has || typed.length !== Number(field.dataset.point)) return typed + key;
  field.dataset.pointed = "1";
  return `${typed}.${key}`;
}

function press(field, key) {
  const typed = field.closest(".offered") ? "" : field.value; // what was only offered is typed over
  field.value = after(field, typed, key);
  if (!/[.,]/.test(field.value)) delete field.dataset.pointed;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

/** Shows the keypad of a field, once both are on the page. */
export function join(field) {
  const pad = document.getElementById(field.dataset.keypad);
  if (!pad) return;
  pad.hidden = false;
  if (matchMedia("(pointer: coarse)").matches) field.inputMode = "none";
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]");
    if (key) press(field, key.dataset.key);
  });
}

function offer(keys) {
  keys.hidden = false;
  keys.addEventListener("click", (event) => {
    const key = event.target.closest("[data-number]");
    const field = document.getElementById(keys.dataset.quick);
    if (!key || !field) return;
    field.value = key.dataset.number;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

for (const field of document.querySelectorAll("input[data-keypad]")) join(field);
for (const keys of document.querySelectorAll("[data-quick]")) offer(keys);

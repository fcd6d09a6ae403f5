// Numbers in a field: the large keypad, shown when there is a finger, and then the phone's own keyboard stays away; those in
// one tap; and the needle that follows what is typed: where the balance stands against the band, before it is recorded.

import { drawn, inSight } from "./elements.js";

/** The number that was typed, one comma alone being the decimal mark; null while it is none. */
export function numberOf(text) {
  const plain = String(text ?? "").trim().replace(",", ".");
  return /^-?\d*\.?\d*$/.test(plain) && /\d/.test(plain) ? Number(plain) : null;
}

// --- the keypad ---

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

const REFUSES_MS = 500;
const SHORT = 5;

/** A key that does nothing is seen to do nothing: a second point. */
function refuse({ dataset }) {
  dataset.refuses = "";
  setTimeout(() => delete dataset.refuses, REFUSES_MS);
}

function press(field, key) {
  const typed = field.closest(".offered") || "anew" in field.dataset ? "" : field.value; // an offer, a refused figure is typed over
  const now = after(field, typed, key);
  if (key === "." && now === typed) return refuse(field);
  field.value = now;
  if (!/[.,]/.test(field.value)) delete field.dataset.pointed;
  return field.dispatchEvent(new Event("input", { bubbles: true }));
}

// --- a figure that is typed again ---

/** What stands in a field can still be read, and is marked: the next digit begins anew, and the delete key clears. */
export function anew(field) {
  field?.focus({ preventScroll: true });
  if (!field?.value || !("low" in field.dataset || "keypad" in field.dataset)) return;
  field.select();
  field.dataset.anew = "";
  const ends = new AbortController();
  const unless = ({ again }) => {
    if (again) return; // put back by the page, not typed
    delete field.dataset.anew;
    ends.abort();
  };
  for (const what of ["input", "pointerdown"]) field.addEventListener(what, unless, { signal: ends.signal });
}

/** The way back to a field from a question about its figure. */
document.addEventListener("click", (event) => {
  const field = document.getElementById(event.target.closest?.("[data-retype]")?.dataset.retype);
  if (!field) return;
  event.preventDefault();
  anew(field);
  inSight(field, field);
});

/** Shows the keypad of a field, once both are on the page. */
export function join(field) {
  const pad = document.getElementById(field.dataset.keypad);
  if (!pad) return;
  pad.hidden = false;
  if (matchMedia("(pointer: coarse)").matches) field.inputMode = "none";
  // Where digits are typed, Tab goes from the field to what follows it.
  else for (const key of pad.querySelectorAll("button")) key.tabIndex = -1;
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]");
    if (key) press(field, key.dataset.key);
  });
  // A long number is set smaller, so that it stays beside its label and the keypad where it is.
  const set = () => field.toggleAttribute("data-long", field.value.length > SHORT);
  field.addEventListener("input", set);
  set();
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

// --- the needle ---

const ENDS = [10, 318];

/** Where a value stands on the graduation, which is four bands wide each way; kept inside its ends. */
function needleAt(value, low, high) {
  const share = (value - (low + high) / 2) / ((high - low) * 4) + 0.5;
  return ENDS[0] + Math.min(1, Math.max(0, share)) * (ENDS[1] - ENDS[0]);
}

/** Joins a graduation and the field that it follows. */
export function joinNeedle(holder) {
  const field = document.getElementById(holder.dataset.needleOn);
  const drawing = holder.querySelector("svg.gauge");
  const base = drawing?.querySelector(".base")?.getAttribute("d").match(/^M10 ([\d.]+)/);
  if (!field || !base) return;
  const [low, high] = [Number(holder.dataset.low), Number(holder.dataset.high)];
  let needle = drawing.querySelector(".needle");
  const follow = () => {
    const value = numberOf(field.value);
    if (value === null) return needle?.setAttribute("visibility", "hidden");
    needle ??= drawing.appendChild(drawn("path", { class: "needle" }));
    const x = needleAt(value, low, high).toFixed(1);
    needle.setAttribute("d", `M${x} ${Number(base[1]) + 2}V6M${x - 9} 0h18l-9 13z`);
    needle.setAttribute("visibility", "visible");
  };
  field.addEventListener("input", follow);
  if (field.value) follow();
}

for (const field of document.querySelectorAll("input[data-keypad]")) join(field);
for (const keys of document.querySelectorAll("[data-quick]")) offer(keys);
for (const holder of document.querySelectorAll("[data-needle-on]")) joinNeedle(holder);

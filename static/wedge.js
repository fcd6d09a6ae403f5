// A balance that acts as a keyboard: it types a line faster than a hand can, and ends it with Enter. The line goes into
// the field for the weight; its Enter records nothing, and its spaces press no key that happens to have the focus.

const SLOWEST_MS = 40;
const GAP_MS = 120;
const TAIL_MS = 300;
const LEAST = 2;
const LONGEST = 80;
const LINE = /^(.*?)([-+]?)\s*(\d+(?:[.,]\d+)?)\s*([A-Za-z%]*)\s*$/;
/** What may be meant for the weight though no field has the focus; a scanner of codes types too. */
const WEIGHT = /^[^\d]*\d+([.,]\d+)?\s*(g|kg|mg|oz|ozt|lb|ct|gn|dwt|%)?\s*$/i;
const TARE = /(^|[^A-Za-z])(T|TR|TARE|PT)([^A-Za-z]|$)/i;

/** The weight in a typed line, or what is wrong with it. */
export function readTyped(text, words) {
  const [, before, sign, number, unit] = LINE.exec(text) ?? [];
  if (words.moving && text.includes(words.moving)) return { say: words.unsteady };
  if (!number || /\d|\.$/.test(before)) return { say: words.unread };
  if (unit && unit !== "g") return { say: words.unit.replace("{unit}", unit) };
  if (TARE.test(before)) return { say: words.tare };
  if ((sign === "-" || /\u2212\s*$/.test(before)) && Number(number.replace(",", "."))) return { say: words.less };
  return { shown: number.replace(",", ".") };
}

const writes = (element) => element.matches?.("input:not([type=radio], [type=checkbox]), textarea, select");

/** Hears lines of a balance for some fields; `typed(read, field)` says whether it took one. */
export function listen(fields, words, typed) {
  let line = "";
  let began = 0;
  let last = 0;
  let quiet = 0;
  let held = null;

  /** A space that was no part of a line presses its key after all. */
  function release(target) {
    held = setTimeout(() => {
      held = null;
      target.click();
    }, GAP_MS);
  }

  function letter(event) {
    const goesOn = event.timeStamp - last < GAP_MS;
    if (!goesOn) [line, began] = ["", event.timeStamp];
    line = (line + event.key).slice(-LONGEST);
    last = event.timeStamp;
    clearTimeout(held);
    if (event.key !== " " || writes(event.target)) return;
    event.preventDefault();
    if (!goesOn && !event.repeat && event.target.matches("button, summary, [role=button]")) release(event.target);
  }

  function end(event) {
    const fast = line.length >= LEAST && event.timeStamp - last < GAP_MS && (last - began) / line.length < SLOWEST_MS;
    const into = fields.includes(event.target) ? event.target : null;
    const read = fast && (into ? /\d/.test(line) : !writes(event.target) && WEIGHT.test(line)) && readTyped(line, words);
    [line, last] = ["", 0];
    // Nobody types a word at a key within a blink: its Enter presses nothing either, whatever the line says.
    if ((read && typed(read, into)) || (fast && !writes(event.target))) quiet = event.timeStamp + TAIL_MS;
    else if (event.timeStamp > quiet) return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
    if (event.key.length === 1) letter(event);
    else if (event.key === "Enter" || event.key === "Tab") end(event);
  }, { capture: true });
  document.addEventListener("keyup", (event) => {
    if (event.key === " " && event.target.matches?.("button, summary, [role=button]")) event.preventDefault();
  }, { capture: true });
}

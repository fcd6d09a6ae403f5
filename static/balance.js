// What stands on the balance, beside the field that it is for: read off the laptop's cable twice a second while this
// page is looked at, or typed by a balance that acts as a keyboard. The plate records it; nothing else does.

import { complain, make } from "./elements.js";

// --- a balance that acts as a keyboard: it types a line faster than a hand can, and ends it with Enter. The line goes into
// the field for the weight; its Enter records nothing, and its spaces press no key that happens to have the focus ---

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
function readTyped(text, words) {
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
function listen(fields, words, typed) {
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

// --- a balance on the cable ---

const EVERY_MS = 400;
const AWAY_MS = 3000;
const GIVE_UP_MS = 2000;
const MISSES = 3;
const mould = document.querySelector("template[data-balance]");
const preview = document.querySelector("[data-balance-preview]");
const fields = [...document.querySelectorAll("input[data-grams]")];
const words = mould?.dataset ?? {};
let field = fields.find((one) => one.name === words.follow) ?? (fields.length === 1 ? fields[0] : null);
let key = null;
let follows = Boolean(words.follow && field && !field.value);
let began = null;
let fresh = false;
let seen = null;
let own = false;
let misses = 0;

/** Puts a weight into the field as if it had been typed. */
function put(value) {
  own = true;
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  own = false;
}

/** Whether the weight came since this page was opened: what stood on the balance before is not of this line. */
function isFresh(now) {
  began ??= now;
  const changed = now.on_key || !now.taken || now.shown !== began.shown;
  fresh ||= now.number > began.number && changed;
  return fresh;
}

function draw() {
  if (!key) return;
  const live = follows && fresh && Boolean(seen?.taken);
  key.setAttribute("aria-pressed", String(live));
  key.querySelector("[data-balance-name]").textContent = live ? words.name : words.take;
  key.querySelector("[data-balance-shown]").textContent = seen?.shown ? `${seen.shown} g` : "";
  key.querySelector("[data-balance-say]").textContent = seen ? seen.say : words.away;
}

function show(now) {
  seen = now;
  if (isFresh(now) && follows) {
    const value = now.taken ? now.shown : "";
    if (field.value !== value) put(value);
  }
  draw();
}

function lost() {
  misses += 1;
  if (misses < MISSES) return;
  seen = null;
  if (follows && fresh && field.value) put("");
  draw();
}

/** A tap takes what stands there, also what stood there before this page was opened. */
function take() {
  if (!seen?.taken) return complain(field, seen?.why ?? words.away);
  complain(field, "");
  follows = field.name === words.follow;
  fresh = true;
  put(seen.shown);
  return draw();
}

function place() {
  if (!key) {
    key = mould.content.firstElementChild.cloneNode(true);
    key.addEventListener("click", take);
  }
  field.closest(".field").after(key);
  draw();
}

function list(now) {
  preview.querySelector("[data-balance-say]").textContent = now.shown ? `${now.shown} g, ${now.say}` : now.say;
  const rows = now.lines.map(({ text, read }) => make("div", {}, make("dt", { text }), make("dd", { text: read })));
  preview.querySelector("[data-balance-lines]").replaceChildren(...rows);
}

async function ask(address) {
  let pause = EVERY_MS;
  if (!document.hidden) {
    try {
      const answer = await fetch(address, { cache: "no-store", signal: AbortSignal.timeout(GIVE_UP_MS) });
      if (!answer.ok) throw new Error(String(answer.status));
      const now = await answer.json();
      misses = 0;
      if (preview) list(now);
      else show(now);
    } catch {
      pause = misses + 1 < MISSES ? EVERY_MS : AWAY_MS;
      if (!preview) lost();
    }
  }
  setTimeout(ask, pause, address);
}

/** A weight that was typed by the balance itself. */
function typed({ shown, say }, into) {
  field = into ?? field;
  if (!field) return false;
  follows = false;
  complain(field, say ?? "");
  put(shown ?? "");
  field.focus();
  draw();
  return true;
}

function wait(event) {
  if (!follows || !fresh || event.target !== field.form || field.value || !seen || seen.taken) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  complain(field, seen.why);
}

if (preview) ask(preview.dataset.balancePreview);
if (fields.length && mould) {
  listen(fields, words, typed);
  for (const one of fields) {
    // What the balance put there is typed over, not typed on.
    one.addEventListener("keydown", () => follows && fresh && one === field && one.select());
    one.addEventListener("input", () => {
      if (!own && one === field) follows = false;
      draw();
    });
  }
}
if (words.now && fields.length) {
  document.addEventListener("focusin", ({ target }) => {
    if (!fields.includes(target) || target === field) return;
    field = target;
    follows = false;
    place();
  });
  document.addEventListener("click", ({ target }) => {
    if (follows && fresh && target.closest?.("[data-key]")) put("");
  }, { capture: true });
  document.addEventListener("submit", wait, { capture: true });
  if (field) place();
  ask(words.now);
}

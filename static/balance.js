// What stands on the balance, beside the field that it is for: read off the laptop's cable twice a second while this
// page is looked at, or typed by a balance that acts as a keyboard. The plate records it; nothing else does.

import { complain } from "./elements.js";
import { listen } from "./wedge.js";

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
  const rows = now.lines.map((one) => {
    const [row, text, read] = ["div", "dt", "dd"].map((name) => document.createElement(name));
    [text.textContent, read.textContent] = [one.text, one.read];
    row.append(text, read);
    return row;
  });
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

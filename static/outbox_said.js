// What is said of the forms of a paired phone: in its status line what waits and was refused; on the page after a form a
// strip, the reasons of a refusal beside its fields, and the way to take it back; on a page of its own all that is here.

import { clock, inSight, key, make, strip } from "./elements.js";
import { anew } from "./keypad.js";
import { offset, refresh, soon, watch } from "./sending.js";
import { add, all, keep, ulid, waits } from "./store.js";

const mark = document.querySelector("[data-outbox-mark]");
const list = document.querySelector("[data-outbox-list]");

// --- the status line ---

const counted = (name, n) => (n ? [mark.dataset[name].replace("{n}", String(n))] : []);

function paint({ entries, reach, broken }) {
  const held = entries.filter((one) => one.refused && !one.aside);
  const [asks, waiting] = [held.filter((one) => one.asks).length, entries.filter(waits).length];
  const refused = held.length - asks;
  const words = [...counted("broken", broken ? 1 : 0), ...counted("waiting", waiting), ...counted("asks", asks), ...counted("refused", refused)];
  if (!words.length && reach === "near") words.push(mark.dataset.none);
  if (reach === "away" || reach === "shut") words.push(mark.dataset[reach]);
  if (words.length) mark.querySelector("[data-outbox-words]").textContent = words.join(" · ");
  const sign = refused || broken ? "refused" : waiting || asks || reach === "away" ? "waiting" : "done";
  const use = mark.querySelector("use");
  use?.setAttribute("href", `${use.getAttribute("href").split("#")[0]}#${sign}`);
}

/** A stored page says so, and when it was stored: it cannot know what was recorded since. */
function showStored() {
  const at = Number(document.body.dataset.stored);
  const text = mark.dataset.stored.replace("{clock}", clock(at));
  const said = make("p", { look: "stored-copy", role: "status", text });
  // Over what to do in an emergency stands nothing.
  if (at) document.getElementById("main")["orders" in document.body.dataset ? "append" : "before"](said);
}

// --- the page after a form ---

/** Puts a strip on top, in place of any other. */
function onTop(words, second) {
  const made = strip(words, second, "alert");
  made.dataset.outboxStrip = "";
  document.querySelector("[data-outbox-strip]")?.remove();
  document.getElementById("main").prepend(made);
  return made;
}

/** The reasons of a refusal, each beside its field, as the laptop's own page would show them; those at the key stand there alone. */
export function complain(form, why, errors = {}, atKey = false) {
  for (const old of document.querySelectorAll("[data-outbox-complaint], [data-outbox-strip]")) old.remove();
  const top = atKey ? null : onTop(why);
  for (const [name, text] of Object.entries(errors)) {
    const field = form.elements.namedItem(name);
    const first = field instanceof RadioNodeList ? field[0] : field;
    if (!first) continue;
    (first.closest(".field-block, fieldset, .field") ?? first).append(make("p", { look: "complaint", "data-outbox-complaint": "", text }));
    first.setAttribute("aria-invalid", "true");
  }
  // A field may stand outside its form.
  const refused = [...form.elements].find((one) => one.matches("[aria-invalid]"));
  const sentence = document.querySelector("[data-outbox-complaint]");
  anew(refused);
  if (refused && sentence) inSight(refused, sentence);
  else top?.scrollIntoView({ block: "nearest" });
}

/** A refused record is opened again on its own page, with what was typed: {form, entry}; null where none is asked for. */
export async function mend() {
  const asked = location.hash.match(/^#mend=([0-9A-Z]{26})$/);
  const entry = asked && (await all()).find((one) => one.id === asked[1]);
  if (!entry) return null;
  const forms = [...document.querySelectorAll("form[data-records]")];
  const path = (form) => new URL(form.action, location.href).pathname;
  const form = forms.find((one) => path(one) === entry.action.split("?")[0]) ?? forms[0];
  if (!form) return null;
  form.dataset.mends = entry.id;
  for (const field of form.elements) {
    const typed = entry.fields.filter(([name]) => name === field.name).map(([, value]) => value);
    if (!field.name || field.name === "record_id" || field.name === "token" || field.type === "file") continue;
    if (field.type === "radio" || field.type === "checkbox") field.checked = typed.includes(field.value);
    else if (typeof typed[0] === "string") field.value = typed[0];
  }
  complain(form, entry.refused ?? "", entry.errors, Boolean(entry.against?.length));
  return { form, entry };
}

/** Takes back a record that was kept on this phone, or sent from it. */
export async function takeBack(kept) {
  const id = ulid();
  const fields = [["ids", kept], ["back", location.pathname], ["record_id", id]];
  const times = { at_ms: Date.now(), offset_ms: await offset(), tz_min: -new Date().getTimezoneOffset() };
  await add({ id, action: "/undo", page: location.pathname, title: mark.dataset.undo, fields, ...times });
  soon();
}

/** On the page after: what was kept on the phone, and the way to take it back. */
export function showKept() {
  const raw = sessionStorage.getItem("saggar-kept");
  if (!raw) return;
  const kept = JSON.parse(raw);
  sessionStorage.removeItem("saggar-kept");
  if (!mark) return;
  const words = mark.dataset;
  const made = onTop(`${kept.title}: ${words.keptHere}`, words.keptWhy);
  made.classList.add("kept-here");
  const undo = key(words.undo, async () => {
    undo.disabled = true;
    await takeBack(kept.id);
    made.remove();
    if ("stored" in document.body.dataset) location.reload(); // what it said of that record is drawn anew
  });
  made.append(undo);
  let seen = false; // before the phone's store is read, there are no entries either
  watch(({ entries }) => {
    const is = entries.some((entry) => entry.id === kept.id);
    seen ||= is;
    if (is || !seen) return;
    made.querySelector("b").textContent = `${kept.title}: ${words.onLaptop}`;
    made.querySelector("span")?.remove();
  });
}

// --- the page of all that is on this phone, with what can be done about each ---

async function change(now) {
  await keep(now);
  await refresh();
  soon();
}

function row(entry) {
  const { aside, refused } = entry;
  const status = list.dataset[aside ? "aside" : entry.asks ? "asks" : refused ? "refused" : "waits"];
  const when = clock(entry.at_ms + (entry.offset_ms ?? 0));
  const lines = [`${when} · ${status}${refused ? `: ${refused}` : ""}`, entry.said ?? ""].filter(Boolean);
  const about = make("p", {}, make("b", { text: entry.title }), ...lines.map((text) => make("span", { text })));
  const made = make("div", { look: "state outbox-row", "data-entry": entry.id }, about);
  if (!refused) return made;
  made.append(make("a", { look: "plain", href: `${entry.page}#mend=${entry.id}`, text: entry.asks ? list.dataset.answer : list.dataset.mend }));
  made.append(key(list.dataset.again, () => change({ ...entry, refused: undefined, errors: undefined, asks: undefined, aside: false })));
  if (!aside) made.append(key(list.dataset.putAside, () => change({ ...entry, aside: true })));
  return made;
}

if (mark) {
  watch(paint);
  showStored();
}
if (list) watch(({ entries }) => list.replaceChildren(...(entries.length ? entries.map(row) : [make("p", { look: "pad", text: list.dataset.empty })])));

// The forms of a paired phone go through its outbox: first on the phone's disk, then to the laptop, then on to the next page.

import { add, all, fact, keep, note } from "./outbox_store.js";
import { awaited, offset, refresh, resultOf, soon, state, watch } from "./outbox_send.js";
import { begin, ready } from "./pin.js";
import "./scan_fill.js";
import { ulid } from "./ulid.js";

const PATIENCE_MS = 2500;
const SETTLE_MS = 1500;
const NEVER = ["/find", "/pair", "/looks/"];

const said = (mark, name, n) => mark.dataset[name].replace("{n}", String(n));

function glyphOf(name) {
  const use = document.querySelector("[data-outbox-mark] use");
  const base = use?.getAttribute("href")?.split("#")[0];
  if (base) use.setAttribute("href", `${base}#${name}`);
}

function paint({ entries, reach, broken }) {
  const mark = document.querySelector("[data-outbox-mark]");
  if (!mark) return;
  const refused = entries.filter((entry) => entry.refused && !entry.aside).length;
  const waiting = entries.filter((entry) => !entry.refused && !entry.aside).length;
  const words = [];
  if (broken) words.push(mark.dataset.broken);
  if (waiting) words.push(said(mark, "waiting", waiting));
  if (refused) words.push(said(mark, "refused", refused));
  if (!words.length && reach === "near") words.push(mark.dataset.none);
  if (reach === "away") words.push(mark.dataset.away);
  if (reach === "shut") words.push(mark.dataset.shut);
  if (words.length) mark.querySelector("[data-outbox-words]").textContent = words.join(" · ");
  glyphOf(refused || broken ? "refused" : waiting || reach === "away" ? "waiting" : "done");
}

/** What a form would send, with the key that was tapped. */
function fieldsOf(form, submitter) {
  const data = new FormData(form);
  if (submitter?.name) data.append(submitter.name, submitter.value);
  return [...data].filter(([name, value]) => name !== "token" && !(value instanceof File && !value.size));
}

/** The id of what a form records: of a filling one that the laptop kept free, so that the pages for it are here already. */
async function idOf(form) {
  const { pathname } = new URL(form.action, location.href);
  if (!/^\/batch\/\w+\/load$/.test(pathname) || form.elements.namedItem("part")) return ulid();
  const { freeFor } = await import("./since.js");
  const free = await freeFor(pathname);
  if (free) await note("taken", [...((await fact("taken")) ?? []).slice(-200), free]);
  return free ?? ulid();
}

async function entryOf(form, submitter) {
  const mended = form.dataset.mends ? (await all()).find((entry) => entry.id === form.dataset.mends) : null;
  const id = mended?.id ?? (await idOf(form));
  const fields = fieldsOf(form, submitter).filter(([name]) => name !== "record_id");
  return {
    ...(mended ? { n: mended.n } : {}),
    id,
    action: new URL(form.getAttribute("action") || location.href, location.href).pathname + new URL(form.action, location.href).search,
    page: location.pathname + location.search,
    title: document.querySelector("h1")?.textContent ?? document.title,
    fields: [...fields, ["record_id", id]],
    // A record that is mended keeps the time at which it was first made.
    at_ms: mended?.at_ms ?? Date.now(),
    offset_ms: mended ? mended.offset_ms : await offset(),
    tz_min: mended?.tz_min ?? -new Date().getTimezoneOffset(),
  };
}

function strip(words, second) {
  const section = document.createElement("section");
  section.className = "strip";
  section.setAttribute("role", "alert");
  section.dataset.outboxStrip = "";
  const p = document.createElement("p");
  const b = document.createElement("b");
  b.textContent = words;
  p.append(b);
  if (second) {
    const span = document.createElement("span");
    span.textContent = second;
    p.append(span);
  }
  section.append(p);
  document.querySelector("[data-outbox-strip]")?.remove();
  document.getElementById("main").prepend(section);
  return section;
}

/** The reasons of a refusal, each beside its field, as the laptop's own page would show them. */
export function complain(form, why, errors = {}) {
  for (const old of form.querySelectorAll("[data-outbox-complaint]")) old.remove();
  strip(why);
  for (const [name, sentence] of Object.entries(errors)) {
    const field = form.elements.namedItem(name);
    const first = field instanceof RadioNodeList ? field[0] : field;
    if (!first) continue;
    const p = document.createElement("p");
    p.className = "complaint";
    p.dataset.outboxComplaint = "";
    p.textContent = sentence;
    (first.closest(".field-block, fieldset, .field") ?? first).append(p);
    first.setAttribute("aria-invalid", "true");
  }
  form.querySelector("[aria-invalid]")?.focus();
}

const patience = (ms) => new Promise((settle) => setTimeout(settle, ms));

/** The page after this one, if the phone has it: by what happened, else by the plan, else the way back. */
async function nextHere(entry) {
  // Loaded only where they are needed: with the laptop near, its own answer says what comes next.
  const [{ since }, { happened }, ways] = await Promise.all([import("./since.js"), import("./happened.js"), import("./ways.js")]);
  const { told, things } = await since();
  const [done] = happened([entry]);
  const next = done && ways.onward(done, things);
  const back = document.querySelector(".head-key.start")?.getAttribute("href");
  // Of each page the copy that fits: the plain one would only be opened to be replaced by it.
  for (const page of [next, ((await fact("after")) ?? {})[location.pathname], back].filter(Boolean)) {
    for (const one of [ways.fitting(page, told, things), page]) if (await caches.match(one)) return one;
  }
  return back;
}

async function onward(form, entry) {
  form.reset();
  const back = window.isSecureContext ? await nextHere(entry) : null;
  sessionStorage.setItem("saggar-kept", JSON.stringify({ id: entry.id, title: entry.title, at: Date.now() }));
  // Without a worker the next page could not be opened while the laptop is away: stay on this one.
  if (navigator.serviceWorker?.controller && back) location.assign(back);
  else showKept();
}

/** A timer rings on the page on which it was started, because the tap that started it lets that page sound. */
function stay(form) {
  form.reset();
  document.dispatchEvent(new Event("saggar-kept"));
}

/** The entry, once it is on the phone's disk; null where the disk refused: then the form is sent as any form is. */
async function kept(form, submitter) {
  try {
    const entry = await entryOf(form, submitter);
    if (entry.n === undefined) entry.n = await add(entry);
    else await keep(entry);
    return entry;
  } catch {
    return null;
  }
}

async function submit(form, submitter) {
  const entry = await kept(form, submitter);
  if (!entry) return form.submit();
  delete form.dataset.mends;
  await refresh();
  // A stored page stands here because the laptop did not answer: unless it did since, nobody waits for it.
  if (document.body.dataset.stored && state.reach !== "near") {
    soon();
    return form.hasAttribute("data-stays") ? stay(form) : onward(form, entry);
  }
  awaited.add(entry.id);
  await Promise.race([soon(), patience(PATIENCE_MS)]);
  awaited.delete(entry.id);
  const result = resultOf(entry.id) ?? refusedElsewhere(entry.id);
  if (form.hasAttribute("data-stays") && (!result || result.status === "kept")) return stay(form);
  if (result?.status === "kept" || result?.status === "done") return location.assign(result.next);
  if (result?.status === "page") return natively(form, submitter, entry);
  if (result?.status === "conflict") return location.assign("/outbox");
  if (result?.status === "refused") {
    form.dataset.mends = entry.id;
    return complain(form, result.say, result.errors);
  }
  return onward(form, entry);
}

/** What the laptop refused when another page of this phone sent it. */
function refusedElsewhere(id) {
  const found = state.entries.find((entry) => entry.id === id && entry.refused);
  return found && { status: "refused", say: found.refused, errors: found.errors };
}

/** A form whose answer is a page and no record: sent as any form is. */
function natively(form, submitter, entry) {
  form.elements.namedItem("record_id").value = entry.id;
  if (submitter?.name) {
    const hidden = document.createElement("input");
    Object.assign(hidden, { type: "hidden", name: submitter.name, value: submitter.value });
    form.append(hidden);
  }
  form.submit();
}

async function onSubmit(event) {
  const form = event.target;
  if (!form.matches("form[data-records]") || NEVER.includes(new URL(form.action, location.href).pathname)) return;
  if (state.broken || !("indexedDB" in window)) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (form.dataset.sent) return;
  form.dataset.sent = "1";
  try {
    const alone = document.body.dataset.stored || state.reach === "away";
    if (alone && (await (await import("./weigh_off.js")).mustChoose(form))) return;
    await submit(form, event.submitter);
  } finally {
    delete form.dataset.sent;
  }
}

/** On the page after: what was kept on the phone, and the way to take it back. */
function showKept() {
  const raw = sessionStorage.getItem("saggar-kept");
  if (!raw) return;
  const kept = JSON.parse(raw);
  sessionStorage.removeItem("saggar-kept");
  const words = document.querySelector("[data-outbox-mark]")?.dataset;
  if (!words) return;
  const section = strip(`${kept.title}: ${words.keptHere}`, words.keptWhy);
  section.classList.add("kept-here");
  const undo = document.createElement("button");
  undo.type = "button";
  undo.className = "plain";
  undo.textContent = words.undo;
  undo.addEventListener("click", async () => {
    undo.disabled = true;
    const id = ulid();
    const fields = [["ids", kept.id], ["back", location.pathname], ["record_id", id]];
    const times = { at_ms: Date.now(), offset_ms: await offset(), tz_min: -new Date().getTimezoneOffset() };
    await add({ id, action: "/undo", page: location.pathname, title: words.undo, fields, ...times });
    section.remove();
    soon();
  });
  section.append(undo);
}

/** A refused record is opened again on its own page, with what was typed. */
async function mend() {
  const asked = location.hash.match(/^#mend=([0-9A-Z]{26})$/);
  if (!asked) return;
  const entry = (await all()).find((one) => one.id === asked[1]);
  if (!entry) return;
  const forms = [...document.querySelectorAll("form[data-records]")];
  const path = (form) => new URL(form.action, location.href).pathname;
  const form = forms.find((one) => path(one) === entry.action.split("?")[0]) ?? forms[0];
  if (!form) return;
  form.dataset.mends = entry.id;
  const values = new Map();
  for (const [name, value] of entry.fields) values.set(name, [...(values.get(name) ?? []), value]);
  for (const field of form.elements) {
    const typed = values.get(field.name);
    if (!field.name || field.name === "record_id" || field.name === "token" || field.type === "file") continue;
    if (field.type === "radio" || field.type === "checkbox") field.checked = Boolean(typed?.includes(field.value));
    else if (typed && typeof typed[0] === "string") field.value = typed[0];
  }
  complain(form, entry.refused ?? "", entry.errors);
}

/** A stored page says so, and when it was stored: it cannot know what was recorded since. */
function showStored() {
  const at = Number(document.body.dataset.stored);
  const words = document.querySelector("[data-outbox-mark]")?.dataset.stored;
  if (!at || !words) return;
  const when = new Date(at);
  const clock = [when.getHours(), when.getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");
  const p = document.createElement("p");
  p.className = "stored-copy";
  p.setAttribute("role", "status");
  p.textContent = words.replace("{clock}", clock);
  document.getElementById("main").before(p);
}

document.addEventListener("submit", onSubmit, true);
watch(paint);
window.addEventListener("online", soon);
window.addEventListener("pageshow", soon);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon());
let waited = 0;
watch(({ entries, reach }) => {
  const waits = entries.filter((entry) => !entry.refused && !entry.aside).length;
  // All was sent: what the phone holds of the things under way is old now.
  if (waited && !waits && reach === "near") ready(true);
  waited = waits;
});
/** A stored page is brought up to what waits; false where another copy of it is being opened instead. */
async function bringUp() {
  return document.body.dataset.stored ? (await import("./stored.js")).bringUp() : true;
}

bringUp().then((stays) => {
  if (!stays) return;
  showKept();
  mend();
});
refresh()
  .then(soon)
  .then(begin)
  .then(() => patience(SETTLE_MS))
  .then(() => state.reach === "near" && ready());
showStored();

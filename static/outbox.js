// The forms of a paired phone go through its outbox: first on the phone's disk, then to the laptop, then on to the next page.

import { make } from "./elements.js";
import { complain, mend, showKept } from "./outbox_said.js";
import { begin, ready, takeFor } from "./pin.js";
import { awaited, expectAnswer, inReach, isHere, offset, refresh, resultOf, soon, state, watch } from "./sending.js";
import { add, all, keep, ulid, waits } from "./store.js";

const PATIENCE_MS = 2500;
const SETTLE_MS = 1500;
/** The steps that hot and damp things hurt by, or that mix things up. */
const HELD = /\/(in|out|load|place|map|grind|dry|light|open)$/;
/** What is made out here: no list names its page yet. */
const DRAWN = /^\/(pigment|charge|waste|crucible|thing)\/\w{26}(\/[a-z-]+)?$/;
const NEVER = ["/find", "/pair", "/looks/"];

/** Whether pages and modules are on the phone itself; over plain HTTP none are. */
const hasWorker = () => Boolean(navigator.serviceWorker?.controller);

/** What a form would send, with the key that was tapped. */
function fieldsOf(form, submitter) {
  const data = new FormData(form);
  if (submitter?.name) data.append(submitter.name, submitter.value);
  return [...data].filter(([name, value]) => name !== "token" && !(value instanceof File && !value.size));
}

const plain = (one) => (one?.querySelector("b") ?? one)?.textContent.trim().replace(/\s+/g, " ") ?? "";

/** A field in words: its label, or the question and the key that was chosen, and what was typed with its unit. */
function inWords(field) {
  if (field.matches("[type=radio], [type=checkbox]")) return [plain(field.closest("fieldset")?.querySelector("legend")), plain(field.labels[0])];
  const value = field.files ? field.files[0]?.name : (field.selectedOptions?.[0]?.textContent.trim() ?? field.value);
  return [plain(field.labels[0]), value, plain(field.closest(".field-value")?.querySelector(".unit"))];
}

/** What stands in a form, in the words of its own labels: the list of what waits on this phone shows it. */
function saidOf(form, submitter) {
  const late = form.elements.namedItem("happened")?.value;
  const chosen = (one) => (one.matches("[type=radio], [type=checkbox]") ? one.checked : one.value && one.type !== "password");
  const shown = [...form.elements].filter((one) => one.labels?.length && chosen(one) && !one.matches("button") && (late || !one.name.startsWith("happened")));
  const words = shown.map((one) => inWords(one).filter(Boolean).join(" "));
  return [...words, ...(submitter?.name ? [plain(submitter)] : [])].join(", ");
}

async function entryOf(form, submitter) {
  const mended = form.dataset.mends ? (await all()).find((entry) => entry.id === form.dataset.mends) : null;
  const id = mended?.id ?? ulid();
  const fields = fieldsOf(form, submitter).filter(([name]) => name !== "record_id");
  const code = mended || state.reach === "near" || !hasWorker() ? null : await takeFor(form, new URL(form.action, location.href).pathname);
  if (code) fields.push(["new_code", code]);
  return {
    ...(mended ? { n: mended.n } : {}),
    id,
    action: new URL(form.getAttribute("action") || location.href, location.href).pathname + new URL(form.action, location.href).search,
    page: location.pathname + location.search,
    title: document.querySelector("h1")?.textContent ?? document.title,
    fields: [...fields, ["record_id", id]],
    said: saidOf(form, submitter),
    // A record that is mended keeps the time at which it was first made.
    at_ms: mended?.at_ms ?? Date.now(),
    offset_ms: mended ? mended.offset_ms : await offset(),
    tz_min: mended?.tz_min ?? -new Date().getTimezoneOffset(),
  };
}

/** Whether the next page is on its way: until it is there, nothing more is sent from this one. */
let leaving = false;
window.addEventListener("pageshow", () => (leaving = false));

/** Goes on to another page; a place on this same page is only scrolled to, and leaves it as it is. */
function leave(to) {
  leaving = new URL(to, location.href).href.split("#")[0] !== location.href.split("#")[0] || !to.includes("#");
  location.assign(to);
}

function asAnyForm(form) {
  leaving = true;
  form.submit();
}

const patience = (ms) => new Promise((settle) => setTimeout(settle, ms));

/** The page after this one, if the phone has it: by what happened, else by the plan, else the way back. */
async function nextHere(entry) {
  // Loaded only where they are needed: with the laptop near, its own answer says what comes next.
  const [{ standing }, ways] = await Promise.all([import("./away.js"), import("./ways.js")]);
  const { here, things, done } = await standing();
  const mine = done.find(({ id }) => id === entry.id);
  const next = mine && ways.onward(here, things, mine);
  const back = document.querySelector(".head-key.start")?.getAttribute("href");
  for (const page of [next, back].filter(Boolean)) {
    if (DRAWN.test(page) || (await isHere(page))) return page;
  }
  return back;
}

async function onward(form, entry) {
  form.reset();
  const back = form.dataset.next ?? (window.isSecureContext ? await nextHere(entry) : null);
  sessionStorage.setItem("saggar-kept", JSON.stringify({ id: entry.id, title: entry.title, at: Date.now() }));
  // Without a worker the next page could not be opened while the laptop is away: stay on this one.
  if (hasWorker() && back) leave(back);
  else showKept();
}

/** A timer rings on the page on which it was started, because the tap that started it lets that page sound. */
function stay(form, entry) {
  form.reset();
  document.dispatchEvent(new CustomEvent("saggar-kept", { detail: entry.id }));
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
  form.dispatchEvent(new Event("saggar-sent", { bubbles: true }));
  const entry = await kept(form, submitter);
  if (!entry) return asAnyForm(form);
  delete form.dataset.mends;
  await refresh();
  // A stored page stands here because the laptop did not answer: unless it did since, nobody waits for it.
  if (document.body.dataset.stored && state.reach !== "near") {
    soon();
    return form.hasAttribute("data-stays") ? stay(form, entry) : onward(form, entry);
  }
  expectAnswer(entry.id);
  await Promise.race([soon(), patience(PATIENCE_MS)]);
  awaited.delete(entry.id);
  const result = resultOf(entry.id) ?? refusedElsewhere(entry.id);
  if (form.hasAttribute("data-stays") && (!result || result.status === "kept")) return stay(form, entry);
  if (result?.status === "kept" || result?.status === "done") return leave(result.next);
  if (result?.status === "page") return natively(form, submitter, entry);
  if (result?.status === "conflict") return leave("/outbox");
  if (result?.status === "refused") {
    form.dataset.mends = entry.id;
    const atKey = Boolean(result.against?.length);
    complain(form, result.say, result.errors, atKey);
    return atKey ? showHeld(form, result, submitter) : null;
  }
  return onward(form, entry);
}

/** What the laptop refused when another page of this phone sent it. */
function refusedElsewhere(id) {
  const found = state.entries.find((entry) => entry.id === id && entry.refused);
  return found && { ...found, status: "refused", say: found.refused };
}

/** The reasons at the key, and the key by which it is recorded all the same. */
const showHeld = async (form, held, submitter) => (await import("./hold.js")).hold(form, held, submitter);

/** Whether a form waits for a second key: this phone knows what stands against it, and the laptop is not there to judge. */
async function isHeld(form, submitter) {
  const { pathname } = new URL(form.getAttribute("action") || location.href, location.href);
  let found = null;
  // On a page that the phone drew, what stands against it holds its key until it is said that it was done already.
  if (form.heldBy) found = form.elements.namedItem("in_fact")?.value ? null : form.heldBy(submitter);
  else if (HELD.test(pathname) && hasWorker()) found = await reasons(form, submitter);
  if (found) await showHeld(form, found, submitter);
  return Boolean(found);
}

/** Why the phone would hold a form of the laptop's own page; what was done is kept whatever else cannot be said. */
async function reasons(form, submitter) {
  try {
    const found = await (await import("./hold.js")).reasonsFor(form, fieldsOf(form, submitter));
    return found && (state.reach === "away" || !(await inReach())) ? found : null;
  } catch {
    return null;
  }
}

/** A form whose answer is a page and no record: sent as any form is. */
function natively(form, submitter, entry) {
  form.elements.namedItem("record_id").value = entry.id;
  if (submitter?.name) form.append(make("input", { type: "hidden", name: submitter.name, value: submitter.value }));
  asAnyForm(form);
}

async function onSubmit(event) {
  const form = event.target;
  if (!form.matches("form[data-records]") || NEVER.includes(new URL(form.action, location.href).pathname)) return;
  if (state.broken) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (form.dataset.sent) return;
  form.dataset.sent = "1";
  // What was said at the key of the tap before is asked anew of this one.
  for (const old of document.querySelectorAll(".held[role=alert]")) old.remove();
  try {
    const alone = document.body.dataset.stored || state.reach === "away";
    if ((alone || state.reach !== "near") && hasWorker() && !(await import("./hold.js")).isSound(form, event.submitter)) return;
    if (alone && hasWorker() && (await (await import("./hold.js")).mustChoose(form))) return;
    if (await isHeld(form, event.submitter)) return;
    await submit(form, event.submitter);
  } finally {
    if (!leaving) delete form.dataset.sent;
    // What was said of one record says nothing of the next.
    form.querySelector("[data-said-done]")?.remove();
  }
}

// Only where a page asks for a code; where that is folded away, when it is opened or a code comes back for it.
const scanning = () => import("./scan_fill.js");
const folds = [...document.querySelectorAll(".coded input")].map((field) => field.closest("details:not([open])"));
if (folds.includes(null) || (folds.length && sessionStorage.getItem("saggar-scanned"))) scanning();
else for (const fold of folds) fold.addEventListener("toggle", scanning, { once: true });
document.addEventListener("submit", onSubmit, true);
window.addEventListener("online", soon);
window.addEventListener("pageshow", soon);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon());
let waited = 0;
watch(({ entries, reach }) => {
  const left = entries.filter(waits).length;
  // All was sent: what the phone holds of the things under way is old now.
  if (waited && !left && reach === "near") ready(true);
  waited = left;
});
/** A stored page is brought up to what waits. */
const bringUp = async () => document.body.dataset.stored && (await import("./stored.js")).bringUp();

/** What an open page may come to need while the laptop is away, brought in beforehand where no worker keeps it. */
async function atHand() {
  await Promise.all([import("./found.js"), import("./fire.js")]);
  document.documentElement.dataset.atHand = "";
}

bringUp().then(async () => {
  showKept();
  const { form, entry } = (await mend()) ?? {};
  if (entry?.against?.length) showHeld(form, entry);
});
refresh()
  .then(soon)
  .then(begin)
  .then(() => patience(SETTLE_MS))
  .then(() => state.reach === "near" && (hasWorker() ? ready() : atHand()));

// What is recorded of a fire, drawn on the phone: readings, notes, checks, who stays with it, timers, its end, and its load as
// it comes out by touch.

import { burns, say } from "./away.js";
import { caution, choices, codeField, codeOf, day, earlier, field, fold, foot, head, key, line, numeric, plain, plate, row, sends, span, titleOf, worded } from "./drawn_fields.js";
import { aboutOf, home, isLater, itemsOf, noteTaps, phaseOf, tally } from "./drawn_fire.js";
import { chargeErrors, checklist, watch } from "./drawn_form.js";
import { clock, glyph, make, strip, whole } from "./elements.js";
import { against as stands } from "./facts.js";
import { expectedC, leapsAfter, plannedNowC, provedC, slips, soaking } from "./fire.js";
import { charges, degrees, readForm } from "./happened.js";
import { hold } from "./hold.js";
import { readStep } from "./read.js";
import { fact } from "./store.js";
import { now } from "./timers.js";

const MINUTE = 60_000;
const main = document.getElementById("main");
const params = new URLSearchParams(location.search);
const fieldsOf = (form) => Object.fromEntries(new FormData(form));

/** The main form of a page, and the key that sends it. */
function asks(action, fields, words, sign, ...inside) {
  const form = sends(action, fields, ...inside);
  form.id = "ask";
  plate(words, { form: form.id, glyph: sign });
  return form;
}

// --- a reading ---

/** None of them is chosen: a digit that begins a figure of three must not end one. */
function tens(ten) {
  const near = [...new Set([2, 1, 0, -1, -2].map((by) => Math.max(0, ten + by)))];
  const shown = near.map((one) => make("span", { look: "figure", text: String(one) }, make("i", { text: "_" })));
  const keys = near.map((one) => make("label", { look: "ten" }, make("input", { type: "radio", name: "tens", value: one }), make("span", {}, String(one), make("i", { "aria-hidden": "true", text: "_" }))));
  return [make("p", { look: "fig" }, ...shown, make("span", { look: "unit", text: "°C" })), make("div", { look: "tens", role: "radiogroup", "aria-label": say("tens") }, ...keys)];
}

/** What is likelier than a reading: no furnace comes to it so soon, or it is far from the last and from the plan. */
function unlikely(fire, c, before, ms) {
  if (leapsAfter(fire.readings, ms, c, fire.fuel)) return say(c < before ? "leap-fell" : "leap-rose");
  const planned = plannedNowC(fire, ms);
  return planned !== null && slips(c, before, planned) ? say(c < before ? "slip-low" : "slip-high", { c: whole(planned) }) : null;
}

/** Why a reading is asked about before it is recorded: no furnace comes to it so soon after the last; null where one may. */
function doubt(fire, fields) {
  const [ms, before] = fire.readings.at(-1) ?? [];
  const said = readForm(`${home(fire)}/reading`, fields, []);
  const c = ms === undefined || fields.happened || said.verb === "nothing" ? null : degrees(fire, said);
  const minutes = Math.max(0, (now() - ms) / MINUTE);
  const why = c === null ? null : unlikely(fire, c, before, ms + minutes * MINUTE);
  if (!why) return null;
  const last = say("leap-last", { c: whole(before), span: span(Math.max(minutes, 1)) });
  return { against: [`${last} ${why}`], held: say("leap-asked", { c: whole(c) }), already: say("it-is-right") };
}

/** What a form of a reading says with the key that was tapped. */
const tappedFields = (form, key) => ({ ...fieldsOf(form), ...(key?.name ? { [key.name]: key.value } : {}) });

/** Three taps: the tens, as they are expected, then the digit, which records. */
function tapped(fire) {
  const { c } = expectedC(fire, Date.now());
  const last = fire.readings.at(-1);
  const [figure, rows] = tens(Math.max(0, Math.floor(c / 10)));
  const digit = (n) => make("button", { look: "key", type: "submit", name: "digit", value: n, text: String(n) });
  const same = last ? make("button", { look: "key word", type: "submit", name: "same", value: "1", text: say("same") }) : make("span");
  const other = make("a", { look: "key word", href: `${home(fire)}/reading?other=1`, text: say("other") });
  const keys = make("div", { look: "keypad units", role: "group", "aria-label": say("last-digit") }, ...[1, 2, 3, 4, 5, 6, 7, 8, 9].map(digit), other, digit(0), same);
  const read = last ? [make("p", { text: say("last-read", { c: whole(last[1]), clock: clock(last[0]) }) })] : [];
  const form = sends(`${home(fire)}/reading`, {}, make("div", { look: "composed", "aria-hidden": "true" }, figure, ...read), make("p", { look: "hint", text: say("tap-tens") }), make("div", { look: "reader" }, rows, keys));
  form.className = "ask flush";
  form.heldBy = (tap) => doubt(fire, tappedFields(form, tap));
  // Where no tens are chosen a digit begins the figure: the rest is typed after it.
  form.addEventListener("click", (event) => {
    const key = event.target.closest("[name=digit]");
    if (!key || form.elements.namedItem("tens").value) return;
    event.preventDefault();
    location.assign(`${home(fire)}/reading?other=1&c=${key.value}`);
  });
  main.append(form);
  document.querySelector(".actionbar .plate").replaceWith(plain(say("no-reading"), home(fire)));
}

/** Any reading, in the unit of the meter. */
function typed({ here, things }, fire, step) {
  const about = aboutOf(here, fire);
  const [low, high] = about.as_read ?? [];
  const named = (name) => step.fields.find((one) => one.name === name);
  const look = here.look(things, fire.id, {});
  const units = named("raw_unit").options.filter(([value]) => about.letter || value !== "mV");
  const unit = choices(say("in-unit"), units.map(([value, words]) => key("radio", "unit", value, value === "C", words)));
  const cold = about.letter ? [field({ ...named("cold_junction_c"), hint: say("mv-as", { letter: about.letter }) }, here, things, look)] : [];
  const form = asks(`${home(fire)}/reading`, {}, step.key, "probe", unit, field({ ...named("c"), label: say("as-read"), unit: "", low, high, keypad: true }, here, things, look), ...cold, earlier());
  form.elements.namedItem("c").value = params.get("c")?.match(/^\d$/)?.[0] ?? "";
  form.heldBy = (tap) => doubt(fire, tappedFields(form, tap));
  main.append(form);
}

function reading(known, fire, step) {
  if (params.has("other")) typed(known, fire, step);
  else tapped(fire);
}

// --- notes ---

function note({ here, things }, fire, step) {
  const value = step.fields.find((one) => one.name === "value");
  const words = asks(`${home(fire)}/note`, { what: "words" }, step.key, step.glyph, field(value, here, things, here.look(things, fire.id, {})), earlier());
  words.errorsNow = () => readStep(here, things, step, fire.id, fieldsOf(words), say).errors;
  const co = sends(`${home(fire)}/note`, { what: "co" }, numeric({ name: "value", id: "co-ppm", label: say("co-reading"), unit: "ppm", low: 0, high: 20_000 }, ""), make("div", { look: "gap-t" }, plain(say("note-co"))));
  main.append(words, make("section", { look: "notes" }, co, ...noteTaps(fire, aboutOf(here, fire).notes)));
}

// --- checks ---

const CO_ALARM = "light-co-alarm";
const FEET = { "before-lighting": "light", firing: "fire" };

function checks({ here, things }, fire, _step, phase) {
  const list = fire.lists?.[phase];
  if (!list) return false;
  head(say(phaseOf(fire, phase)), fire.name, home(fire));
  const items = itemsOf(fire, phase);
  const { form, under, errors } = checklist(fire, phase, `${home(fire)}/checks/${phase}`, {}, (slug) => (isLater(fire, slug) && fire.off_ms !== null ? clock(fire.off_ms + 60 * MINUTE) : null));
  const dated = fire.asks_date && items.some(({ slug }) => slug === CO_ALARM);
  if (dated) form.lastChild.before(day("co_alarm_expires", say("co-until"), say("co-until-hint")));
  form.errorsNow = () => (fieldsOf(form).co_alarm_expires ? {} : errors(fieldsOf(form)));
  const stopped = items.filter(({ answer }) => answer === "not-done").map(({ says }) => strip(say("item-not-done", { item: says }), "", "alert"));
  main.append(...stopped, ...(items.length ? [make("p", { look: "pad gap-t", text: `${tally(fire, phase)}.` }), form] : []), ...under, ...foot(here, things, fire.id, here.steps.get(FEET[phase] ?? "come-out")));
  if (items.length) plate(say("record-answers"), { form: "ask" });
  else plate(say("back-to-firing"), { href: home(fire) });
  return true;
}

// --- who stays with it ---

function stays({ here, things }, fire) {
  head(say("leave-fire"), fire.name, home(fire));
  if (fire.lit_ms === null || fire.off_ms !== null) {
    main.append(make("p", { look: "pad gap-t lead", text: say("fire-out") }));
    return plate(say("back-to-firing"), { href: home(fire) });
  }
  const noted = fire.noted.watch?.[0] ?? "";
  const who = noted.startsWith("with ") ? [make("p", { look: "pad gap-t lead", text: say("is-with", { name: noted.slice(5) }) })] : [];
  const alone = noted === "left alone" ? [strip(say("left-alone"), "", "alert")] : [];
  const form = asks(`${home(fire)}/watch`, { way: "hand-over" }, say("hand-over"), "", worded("name", say("who-takes"), say("who-hint")), key("checkbox", "stands_here", "1", false, say("stands-here"), say("stands-hint")), earlier());
  form.errorsNow = () => {
    const { name, stands_here: here_ } = fieldsOf(form);
    if (!name.trim()) return { name: say("no-empty-text") };
    return here_ ? {} : { stands_here: say("tick-stands") };
  };
  const left = sends(`${home(fire)}/watch`, { way: "alone", in_fact: "1" }, plain(say("record-that")));
  main.append(caution(say("caution"), say("alarm-unattended")), ...alone, ...who, form, fold(say("was-left"), make("p", { text: say("was-left-why") }), left), ...foot(here, things, fire.id, here.steps.get("fire")));
  return null;
}

// --- a timer ---

/** The page stays after its form: the tap that started a timer lets it sound there. */
function timer({ here, things }, fire, step) {
  const said = Object.fromEntries(["known", "unknown", "calendar", "stay"].map((name) => [`data-${name}`, say(`timer-${name}`)]));
  const ends = soaking(fire, fire.readings).endsMs;
  const soak = ends ? [sends(`${home(fire)}/timer`, { soak: "1" }, make("div", { look: "pad gap-t" }, plain(say("soak-end", { clock: clock(ends) }), null, "clock")))] : [];
  const minutes = field({ name: "minutes", label: say("in"), kind: "number", unit: "min", low: 1, high: 20_000, keypad: true }, here, things, here.look(things, fire.id, {}));
  const form = asks(`${home(fire)}/timer`, {}, say("set-timer"), "clock", minutes, worded("clock", say("or-clock"), say("or-clock-hint")), worded("purpose", say("what-for")));
  for (const one of [form, ...soak]) one.dataset.stays = "";
  const sound = make("span", { "data-sound": "", "data-on": say("sound-on"), "data-off": say("sound-off") });
  main.append(caution(say("stay-with"), say("timer-rings")), make("section", { "data-timers": "", "aria-label": step.title, ...said }), make("p", { look: "pad soft" }, `${say("timer-right")} `, sound), ...soak, form);
  document.dispatchEvent(new CustomEvent("saggar-kept"));
}

// --- its end ---

function close({ here, things }, fire) {
  head(say("close-fire"), fire.name, home(fire));
  const against = stands(here.steps.get("close"), here.look(things, fire.id, {})).map((one) => one.say);
  const form = asks(`${home(fire)}/close`, {}, say("close-firing"), "done", worded("why", say("note")), earlier());
  form.heldBy = () => (against.length ? { against, already: "" } : null);
  const fine = against.length ? [] : [make("p", { look: "pad gap-t lead", text: say(fire.lit_ms === null ? "never-lit" : "all-ticked") })];
  main.append(...fine, form);
  if (!against.length) return;
  if (fire.off_ms === null) plate(here.steps.get("shut-down").title, { href: `${home(fire)}/off` });
  else plate(say("after-checks"), { href: `${home(fire)}/checks/after-shutdown` });
  hold(form, form.heldBy());
}

// --- the furnace's places, and taking out with full hands ---

/** What is to stand at a place that is empty: one of the charges, or the code on it. */
function placing({ here, things }, fire, place) {
  const could = charges(things).filter((one) => !one.in_heat);
  const keys = could.map((one) => key("radio", "charge", one.id, false, line(codeOf(one), titleOf(here, things, one.id)), here.says(things, one.id)[0]?.text));
  const form = asks(`${home(fire)}/map`, { place }, say("place-here"), "inplace", ...(keys.length ? [choices(say("which-one"), keys)] : []), codeField("code"), earlier());
  form.dataset.next = `${home(fire)}/map`;
  return form;
}

/** Every place of a furnace with what stands there; one that is empty can be tapped to put something there. */
async function map(known, fire) {
  const { here, things } = known;
  head(say("map"), fire.name, home(fire));
  const chosen = new URLSearchParams(location.search).get("place");
  const at = (value) => charges(things).find((one) => one.firing === fire.id && one.place === value && !one.out);
  const [, name] = (fire.spots ?? []).find(([value]) => value === chosen && !at(value)) ?? [];
  const rows = (fire.spots ?? []).map(([value, words]) => {
    const one = at(value);
    return one ? row(`/charge/${one.id}`, words, line(one.of, here.says(things, one.id)[0]?.text), codeOf(one)) : row(`${home(fire)}/map?place=${value}`, words, say("empty-place"));
  });
  main.append(...rows);
  if (!name || fire.off_ms !== null || fire.closed) return plate(say("take-out"), { href: `${home(fire)}/out`, glyph: "outof" });
  const [form, box] = [placing(known, fire, chosen), make("div", {})];
  main.prepend(make("h2", { look: "pad gap-t", text: say("what-at", { place: name }) }), box, form);
  return watch(known, form, box, chargeErrors, (await fact("codes")) ?? {});
}

/** One of the order in which a load comes out: how it cools, and why it stays in where the laptop knew of a reason. */
function handsRow(one, why = null) {
  const code = codeOf(one);
  const cooling = why ?? one.cooling?.[0] ?? say("cooling-unknown");
  return make("li", why === null ? { "data-charge": one.id, "data-code": code || one.of, "data-what": one.of } : {}, line(code, one.of), make("span", { look: "soft", text: ` ${cooling}` }));
}

/** The next crucible in large letters; a touch anywhere records it as out (hands.js). */
async function hands({ here, things }, fire) {
  head(say("hands-full"), fire.name, `${home(fire)}/out`);
  main.classList.add("hands");
  const told = here.told.fires?.[fire.id]?.hands ?? {};
  const within = charges(things).filter((one) => one.firing === fire.id && one.in_heat).sort((one, other) => (told[other.id]?.[0] ?? 0) - (told[one.id]?.[0] ?? 0));
  const stays = within.filter((one) => told[one.id]?.[1]);
  const rows = within.filter((one) => !stays.includes(one)).map((one) => handsRow(one));
  const button = make("button", { look: "touch-all", type: "submit" }, make("span", { look: "lead", text: say("hands-first") }), make("b", { look: "figure", "data-hands-code": "" }), make("span", { "data-hands-what": "" }), make("span", { look: "soft", text: say("hands-touch") }));
  const form = sends(`${home(fire)}/out`, { hands: "1", unconfirmed: "1", charge: "" }, button);
  Object.assign(form, { id: "hands", className: "hands-form" });
  form.dataset.stays = "";
  const words = Object.fromEntries(["out", "next", "last", "lost"].map((name) => [`data-${name}`, say(`hands-${name}`)]));
  const list = (title, name, all) => (all.length ? [make("section", { look: "part" }, make("h2", { look: "pad", text: say(title) }), make(name, { look: "hands-order" }, ...all))] : []);
  const none = make("p", { look: "pad lead", role: "status", "data-hands-say": "", ...(rows.length ? { hidden: "" } : {}), text: say(stays.length ? "hands-none" : "hands-last") });
  const c = provedC(fire.readings);
  const burning = burns(here, things, fire.id) && c !== null ? [caution(say("inside-c", { c: c.toFixed(0) }), say("burning"))] : [];
  main.append(...burning, make("div", { "data-hands": "", ...words }, form, none, ...list("hands-order", "ol", rows), ...list("stays-in", "ul", stays.map((one) => handsRow(one, told[one.id][1])))));
  const undo = make("button", { look: "plain", type: "button", "data-hands-undo": "", hidden: "" }, glyph("undo"), make("span", { text: say("undo-last") }));
  document.querySelector(".actionbar .plate").replaceWith(undo);
  await import("./hands.js");
}

// --- all of them ---

const PAGES = { reading: [reading, "read-heat"], note: [note, "note"], checks: [checks], watch: [stays], timer: [timer, "set-timer"], close: [close], map: [map], hands: [hands] };

/** Draws a page of a firing; false where there is none of this name. */
export async function fireStep(known, fire, page, more) {
  const [draw, verb] = PAGES[page] ?? [];
  if (!draw) return false;
  const step = known.here.steps.get(verb);
  if (step) head(step.title, line(fire.name), home(fire));
  return (await draw(known, fire, step, more)) !== false;
}

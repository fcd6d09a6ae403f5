// The page of a firing, drawn on the phone: what is wrong, what was read and is due, who is in it, and what can be done.

import { burns, doing, isDamp, say } from "./away.js";
import { bar, caution, codeOf, flags, fold, foot, head, line, plain, plate, row, sends, tap, taps } from "./drawn_fields.js";
import { clock, figure, make, strip, whole } from "./elements.js";
import { isDone, soaking } from "./fire.js";
import { HOUR, inside, isEarly } from "./happened.js";
import { heldIn, hold, remark } from "./hold.js";
import { alarmSaid, alarms, curveOf, nextDue, outlook } from "./outlook.js";
import { now, paint } from "./timers.js";
import { GOOD, stopsOf } from "./ways.js";

const MINUTE = 60_000;
const NEWEST = 6;
const main = document.getElementById("main");
export const home = (fire) => `/firing/${fire.id}`;
const box = (look, ...within) => make("section", { look }, ...within);

/** What the laptop told of a firing beside its facts. */
export const aboutOf = (here, fire) => here.told.fires?.[fire.id] ?? { notes: [] };

// --- what is wrong ---

function alarm(one) {
  const { rule, grave } = one;
  const words = alarmSaid(one);
  if (["flame-lost", "co-reading"].includes(rule)) return caution(say("danger"), words, "danger");
  if (grave || rule === "co-rising") return caution(say("caution"), words);
  return strip(words, "", "alert");
}

function warnings({ things }, fire) {
  const load = inside(things, fire.id).filter(({ out }) => !out);
  const found = alarms(fire, load, now()).map(alarm);
  // A voltage that is no temperature of the probe's type is said at once: the laptop would refuse it later.
  if (fire.untold) found.push(strip(say("untold", { mv: fire.untold[1], clock: clock(fire.untold[0]) }), say("untold_why"), "alert"));
  return make("div", { look: "warnings" }, ...found);
}

// --- what was read ---

const timed = (name, ms) => (ms ? [make("span", { text: say(name) }), make("b", { look: "num", text: clock(ms) })] : []);

function nowRead(fire, soak) {
  const { last } = soak;
  const read = last ? figure(whole(last[1]), "°C", last[1] >= 999.5 ? "l" : "xl") : make("p", { look: "lead", text: say("reading") });
  const time = fire.closed ? [] : [make("span", { look: "clock num", "data-clock": "" })];
  return box("now-read", read, make("p", { look: "reading-age" }, ...time, ...timed("read", last?.[0]), ...timed("due", nextDue(fire, soak))));
}

function curve(fire, soak) {
  const from = fire.lit_ms ?? fire.readings[0]?.[0] ?? now();
  return make("figure", { look: "picture" }, curveOf(fire.readings, (fire.plan ?? []).map(([minute, c]) => [from + minute * MINUTE, c]), soak));
}

/** The newest readings as a list, the last one first. */
function latest(fire) {
  if (!fire.readings.length) return [];
  const rows = fire.readings.slice(-NEWEST).reverse().map(([ms, c]) => make("tr", {}, make("th", { scope: "row", look: "num", text: clock(ms) }), make("td", { text: `${whole(c)} °C` })));
  return [fold(say("latest"), make("table", { look: "ledger" }, make("tbody", {}, ...rows)))];
}

// --- the load ---

function ofCharge({ here, things }, fire, one) {
  const way = one.in_heat ? `${home(fire)}/out?charge=${one.id}` : `/charge/${one.id}`;
  const times = [["in-at", one.in_ms], ["came-out-at", one.out_ms]].filter(([, ms]) => ms).map(([name, ms]) => say(name, { clock: clock(ms) }));
  return row(way, one.of, line(here.says(things, one.id)[0]?.text, times.join(", ")), codeOf(one));
}

function load(known, fire) {
  const found = inside(known.things, fire.id).sort((one, other) => Number(one.out) - Number(other.out));
  const rows = found.map((one) => make("li", {}, ofCharge(known, fire, one)));
  const all = burns(known.here, known.things, fire.id) && found.some((one) => one.in_heat);
  const together = all ? [sends(`${home(fire)}/all-out`, {}, make("div", { look: "gap-t" }, plain(say("all-out"), null, "outof")))] : [];
  const none = rows.length ? [] : [make("li", {}, make("p", { look: "gap-t", text: say("none-placed") }))];
  return box("in-fire", make("h2", { text: say("crucibles") }), make("ul", {}, ...rows, ...none), ...together);
}

/** The furnace's own keys, right under its curve. */
function inOut(fire) {
  const ways = [["put-in", "in", "into"], ["take-out", "out", "outof"], ["map", "map", "inplace"]];
  return box("in-out", taps("", ...ways.map(([name, page, sign]) => tap(say(name), sign, { href: `${home(fire)}/${page}` }))));
}

// --- notes and the ways on ---

/** Groups of single taps that note something of a fire; the newest of each sort is pressed. */
export function noteTaps(fire, notes) {
  return notes.map(([what, words, values]) => {
    const keys = values.map(([value, said, sign]) => {
      const pressed = String(fire.noted[what]?.[0] === value);
      return sends(`${home(fire)}/note`, { what, value }, tap(said, sign, { "aria-pressed": pressed }));
    });
    for (const key of keys) key.className = "tap-form";
    return box("note-group", make("h2", { text: words }), taps(words, ...keys));
  });
}

function notes(fire, known) {
  if (fire.lit_ms === null || fire.closed) return [];
  return [box("notes", make("h2", { text: say("note-now") }), ...noteTaps(fire, known.slice(0, 2)), fold(say("note-more"), ...noteTaps(fire, known.slice(2))))];
}

/** The items of a list that are asked, each with the answer that stands. */
export function itemsOf(fire, phase) {
  return (fire.lists?.[phase]?.asks ?? []).map((one) => ({ ...one, answer: fire.checks[phase]?.[one.slug] ?? null }));
}

/** How a list stands, in a few words. */
export function tally(fire, phase) {
  const items = itemsOf(fire, phase);
  const n = fire.lists?.[phase]?.lines.length;
  if (!items.length) return say(n === 1 ? "keep-one" : "keep-more", { n });
  return say("done-of", { n: items.filter(({ answer }) => GOOD.includes(answer)).length, total: items.length });
}

/** The name of a checklist at a furnace of this fuel: an electric one is switched on and not lit. */
export const phaseOf = ({ fuel }, phase) => (phase === "before-lighting" && fuel === "electric" ? "before-on" : phase);

function checksRow(fire, phase) {
  const stopped = itemsOf(fire, phase).filter(({ answer }) => answer === "not-done").map(({ says }) => say("item-not-done", { item: says }));
  return row(`${home(fire)}/checks/${phase}`, say(phaseOf(fire, phase)), [tally(fire, phase), ...stopped].join(" · "));
}

function ways(here, fire) {
  const [burning, off] = [nextDue(fire) !== null, fire.off_ms !== null];
  const titled = (verb, page) => row(`${home(fire)}/${page}`, here.steps.get(verb).title);
  const found = [];
  if (fire.lit_ms !== null && !fire.closed) found.push(titled("note", "note"));
  if (burning) found.push(row(`${home(fire)}/watch`, say("leave-fire")), titled("set-timer", "timer"), checksRow(fire, "firing"), checksRow(fire, "before-opening"), titled("shut-down", "off"));
  if (off) found.push(checksRow(fire, "after-shutdown"));
  if (!fire.closed) found.push(row(`${home(fire)}/close`, say("close-fire")));
  return make("nav", { look: "part" }, ...found, make("p", { look: "pad soft", text: say("laptop-alone") }));
}

const namesOf = (things, fire) => inside(things, fire.id).map(({ id }) => id).sort().join();

/** What the rules say was told of the load as it was then. */
function otherLoad({ here, told, things }, fire) {
  const same = namesOf(told, fire) === namesOf(things, fire);
  return same || !here.told.minds?.[fire.id] ? [] : [make("p", { look: "pad soft", text: say("not-judged") })];
}

function rest(known, fire) {
  const { here, things } = known;
  const verb = fire.lit_ms === null ? "light" : nextDue(fire) === null ? "come-out" : "fire";
  const step = here.steps.get(verb);
  const found = verb === "fire" ? (here.told.minds?.[fire.id]?.fire ?? []) : [];
  return make("div", { look: "rest" }, ...flags(found), ...otherLoad(known, fire), ways(here, fire), ...foot(here, things, fire.id, step));
}

// --- the keys ---

// What an answer in the list, drying or the laptop's settings settle (put_right.py).
const SETTLED = new Set(["no-emergency-number", "co-alarm-old", "checks-before-lighting", "check-says-stop", "did-not-light", "gas-no-co-alarm", "purge", "damp-charge", "solvent-paste"]);

/** What is to be done before lighting: the load where no check settles what stands against it, then the checks, else drying. */
function before({ here, things }, fire, against) {
  if (against.some(({ rule, effect }) => effect !== "flag" && !SETTLED.has(rule))) return plate(say("map"), { href: `${home(fire)}/map`, glyph: "inplace" });
  const open = itemsOf(fire, "before-lighting").some(({ answer }) => !GOOD.includes(answer));
  const damp = open ? null : inside(things, fire.id).find((one) => isDamp(here, things, one.id));
  if (damp) plate(say("dry"), { href: `/charge/${damp.id}/dry` });
  else plate(say(fire.fuel === "electric" ? "check-on" : "check-first"), { href: `${home(fire)}/checks/before-lighting`, glyph: "flame" });
  return null;
}

/** The key that records the lighting; what stands against it holds it. */
function lighting({ here, things }, fire) {
  const form = sends(`${home(fire)}/light`, {});
  const would = doing(here, things, `${home(fire)}/light`, []);
  form.id = "lightit";
  form.heldBy = () => heldIn(here, things, would, {});
  const held = form.heldBy();
  const unlit = sends(`${home(fire)}/unlit`, {}, plain(say("unlit")));
  const before_ = make("div", { look: "before" }, checksRow(fire, "before-lighting"), ...flags(stopsOf(here, things, would).filter(({ effect }) => effect === "flag")), form, ...(fire.fuel === "gas" && !held ? [unlit] : []));
  return [before_, () => {
    if (!held) return plate(say(fire.fuel === "electric" ? "switched-on" : "lit"), { form: form.id, glyph: "flame" });
    before({ here, things }, fire, stopsOf(here, things, would));
    return hold(form, held);
  }];
}

/** Whether an item cannot be answered yet: the look an hour after the fire. */
export const isLater = (fire, slug) => slug === HOUR && (fire.off_ms === null || isEarly(fire, now()));

/** What can be answered of the checks after the fire by now. */
const afterDue = (fire) =>
  itemsOf(fire, "after-shutdown").some(({ slug, answer }) => !GOOD.includes(answer) && !isLater(fire, slug));

function key({ here, things }, fire, soak) {
  const readHere = { href: `${home(fire)}/reading`, glyph: "probe" };
  const reading = here.steps.get("read-heat").title;
  if (fire.closed) return plate(say("today"), { href: "/" });
  if (nextDue(fire, soak) !== null) {
    const over = isDone(fire, soak) || (soak.endsMs !== null && soak.endsMs <= now());
    if (!over) return plate(reading, readHere);
    const form = sends(`${home(fire)}/off`, { reason: "reached" });
    form.id = "offnow";
    main.append(form);
    plate(here.steps.get("shut-down").key, { form: form.id, glyph: "flame" });
    if (soak.heldMin < fire.hold_min) document.querySelector(".now-read").append(make("p", { text: say("held-read", { held: whole(soak.heldMin), hold: fire.hold_min }) }));
    return bar(plain(reading, readHere.href));
  }
  if (afterDue(fire)) return plate(say("after-checks"), { href: `${home(fire)}/checks/after-shutdown`, glyph: "flame" });
  if (inside(things, fire.id).some((one) => one.in_heat)) return plate(say("take-out"), { href: `${home(fire)}/out`, glyph: "outof" });
  return plate(say("close-fire"), { href: `${home(fire)}/close`, glyph: "done" });
}

/** Draws the page. What is not sure, since a delivered record is to be taken back, is left out. */
export function firePage(known, fire) {
  const { here, things, unsure } = known;
  main.classList.add("firing");
  head(fire.name, line(codeOf(fire), unsure ? "" : here.says(things, fire.id)[0]?.text), "/firings");
  if (unsure) {
    main.append(ways(here, fire));
    return plate(here.steps.get("read-heat").title, { href: `${home(fire)}/reading`, glyph: "probe" });
  }
  const about = aboutOf(here, fire);
  const soak = soaking(fire, fire.readings);
  let warned = warnings(known, fire);
  const since = fire.lit_ms === null ? [] : [make("p", { look: "soft", text: [[fire.fuel === "electric" ? "on-at" : "lit-at", fire.lit_ms], ["off-at", fire.off_ms]].filter(([, ms]) => ms !== null).map(([name, ms]) => say(name, { clock: clock(ms) })).join(" ") })];
  const [unlit, light] = fire.lit_ms === null && !fire.closed ? lighting(known, fire) : [null, null];
  const alone = fire.noted.watch?.[0] === "left alone" && nextDue(fire) !== null ? [sends(`${home(fire)}/watch`, { way: "back" }, plain(say("am-back")))] : [];
  const outward = box("outlook", ...alone, ...outlook(fire, soak, about.notes), ...since, ...latest(fire));
  main.append(warned, nowRead(fire, soak), curve(fire, soak), inOut(fire), outward, ...(unlit ? [unlit] : []), load(known, fire), ...notes(fire, about.notes), rest(known, fire));
  // How long nothing was read grows while the page is looked at.
  setInterval(() => {
    const anew = warnings(known, fire);
    warned.replaceWith(anew);
    warned = anew;
  }, MINUTE / 2);
  if (light) light();
  else key(known, fire, soak);
  if (light && !inside(things, fire.id).length) remark(say("nothing-placed"));
  return paint();
}

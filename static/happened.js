// The forms that no declaration of a step reads, and what each does to the facts: checks, and the fire itself.
// Beside them what a declared step does that cannot be said as data. Twin of the laptop's state: vectors prove both.

import { rescale } from "./facts.js";
import { celsius, soaking } from "./fire.js";
import { numberOf } from "./keypad.js";
import { bare, readCode } from "./read.js";

const THING = "([0-9A-HJKMNP-TV-Z]{26})";
const MINUTE = 60_000;
const PURGE = "light-purge";
const WAIT_MS = 5 * MINUTE;
export const HOUR = "off-recheck";
const EARLY_MS = 55 * MINUTE;
const CODE_SIZE = 6;
/** What is answered for the jars of one batch, and says nothing of those of another. */
const OF_ITS_OWN = "weigh-sheet-read";

/** When it happened, by the laptop's clock in ms: as typed where it was entered late, else when it was sent. */
export function whenOf(entry, fields) {
  const sent = entry.at_ms + (entry.offset_ms ?? 0);
  const typed = (fields.happened ?? "").match(/^(\d{1,2}):(\d{2})$/);
  if (!typed) return sent;
  const shift = (entry.tz_min ?? 0) * MINUTE;
  const then = new Date(sent + shift);
  then.setUTCHours(Number(typed[1]), Number(typed[2]), 0, 0);
  const [year, month, day] = (fields.happened_date ?? "").match(/^(\d{4})-(\d{2})-(\d{2})$/)?.slice(1).map(Number) ?? [];
  if (year) then.setUTCFullYear(year, month - 1, day);
  const ms = then.getTime() - shift;
  if (year) return Math.min(ms, sent);
  return ms > sent ? ms - 24 * 60 * MINUTE : ms;
}

// --- forms ---

/** What is to be typed once more, or is taken out again, is not recorded. */
const untaken = ({ do: what }) => (["back", "retype"].includes(what) ? { verb: "nothing" } : null);

const checks = (list) => (_fields, [phase], pairs) => {
  const said = pairs.filter(([name]) => name.startsWith("answer."));
  return { verb: "checks", list: phase ?? list, answers: Object.fromEntries(said.map(([name, answer]) => [name.slice(7), answer])) };
};

function reading(fields) {
  if (fields.same) return { verb: "reading", c: null, same: true };
  const digit = numberOf(fields.digit);
  if (digit !== null) return { verb: "reading", c: 10 * numberOf(fields.tens) + digit };
  const raw = numberOf(fields.c);
  if (raw === null) return { verb: "nothing" };
  // What they are in degrees depends on the furnace's probe.
  if (fields.unit === "mV") return { verb: "reading", c: null, mv: raw, cold_c: numberOf(fields.cold_junction_c) ?? 0 };
  return { verb: "reading", c: fields.unit === "F" ? ((raw - 32) * 5) / 9 : raw };
}

/** Who is with a fire, as it is noted. */
function watched({ way, name }) {
  const value = { "hand-over": `with ${name}`, alone: "left alone", back: "back" }[way];
  return { verb: "watch", what: "watch", value };
}

const WAYS = [
  [`/batch/${THING}/weigh/\\d+`, untaken],
  [`/batch/${THING}/weigh`, checks("before-weighing")],
  [`/batch/${THING}/load`, (fields, more, pairs) => (fields.part === "checks" ? checks("before-loading")(fields, more, pairs) : null)],
  [`/firing/${THING}/checks/([a-z-]+)`, checks()],
  [`/firing/${THING}/unlit`, () => ({ verb: "unlit" })],
  [`/firing/${THING}/reading`, reading],
  [`/firing/${THING}/watch`, watched],
  [`/firing/${THING}/timer`, (fields) => ({ verb: "timer", purpose: fields.purpose || null, minutes: numberOf(fields.minutes), clock: fields.clock || null, soak: Boolean(fields.soak) })],
  [`/firing/${THING}/all-out`, () => ({ verb: "all-out" })],
].map(([way, read]) => [new RegExp(`^${way}$`), read]);

/** What a form says at an address at which no declared step is done: its verb and more; null for any other. */
export function readForm(path, fields, pairs) {
  for (const [way, read] of WAYS) {
    const found = path.match(way);
    const said = found && read(fields, found.slice(2), pairs);
    if (said) return { thing: found[1], ...said };
  }
  return null;
}

/** The timers that wait, and when each reading was taken: known without anything that the laptop told. */
export const waitingOf = (entries, verb) =>
  entries.filter((one) => !one.refused && !one.aside).flatMap((entry) => {
    const fields = Object.fromEntries([...entry.fields].reverse());
    const said = readForm(entry.action.split("?")[0], fields, entry.fields);
    return said?.verb === verb ? [{ ...said, id: entry.id, ms: whenOf(entry, fields) }] : [];
  });

// --- things that are named ---

/** The charges that something is still to be done with. */
export const charges = (things) => Object.values(things).filter((one) => one.sort === "charge" && !one.ended);

/** The charges that stand in a firing. */
export const inside = (things, firing) => charges(things).filter((one) => one.firing === firing);

/** The charge that a form means, by its code or by its id. */
export function meant(things, { code, charge }) {
  if (!code) return things[charge];
  return charges(things).find((one) => one.code && bare(one.code) === bare(code));
}

/** The charge that is in a crucible now, by its code or its id. */
export const inCrucible = (things, { code, crucible }) =>
  charges(things).find((one) => (code && bare(one.code) === bare(code)) || (crucible && one.crucible === crucible));

// --- what is done beside the declarations ---

/** The grams of a filling that come of the thing itself: as typed, else its share of the paste. */
function gramsOf(here, things, thing, fields) {
  const left = here.fact(things, thing.id, ["left_g"]);
  if (fields.all_of_it && typeof left === "number") return left;
  const [g, wet, paste] = ["g", "wet_g", "paste_g"].map((name) => numberOf(fields[name]));
  if (g !== null || wet === null || !paste || typeof left !== "number") return g;
  return left * Math.min(wet / paste, 1);
}

export const BEFORE = {
  load: (here, things, thing, done) => {
    const g = gramsOf(here, things, thing, done.fields);
    const named = [done.fields.crucible, done.data.crucible].find((one) => one?.length > CODE_SIZE) ?? null;
    Object.assign(done, { grams: g, crucible: named });
    Object.assign(done.data, { sources: g === null ? [] : [{ [thing.sort]: thing.id, g }], crucible: named });
  },
};

/** What is weighed: as typed, by the difference of two, or with what was there before. */
export function netOf(fields, line) {
  const [before, after, added] = ["before_g", "after_g", "added_g"].map((name) => numberOf(fields[name]));
  const net = before !== null && after !== null ? Math.abs(after - before) : numberOf(fields.net_g);
  return net ?? (added === null ? null : (line.weighed_g ?? 0) + added);
}

function weigh(_here, things, batch, { id, path, fields }) {
  const line = batch.lines.find((one) => one.line === Number(path.match(/\d+$/)?.[0]));
  const net = line ? netOf(fields, line) : null;
  if (net === null) return;
  const taken = net - (line.weighed_g ?? 0);
  const ofJar = Object.values(things).flatMap(({ lines }) => lines ?? []).filter((one) => line.jar && one.jar === line.jar);
  for (const one of ofJar) if (typeof one.jar_left_g === "number") one.jar_left_g -= taken;
  // A second weighing of the line corrects what it found: on the phone the same as on the laptop.
  Object.assign(line, { weighed_g: net, heads: [id] });
  if (fields.do !== "scale") return;
  const { factor } = rescale(batch.lines.map((one) => one.target_g), batch.lines.map((one) => one.weighed_g));
  for (const one of batch.lines) one.target_g *= factor;
}

const mayGas = (things, firing) => things[firing] && (things[firing].carbonate = true);

export const AFTER = {
  weigh,
  close: (_here, _things, thing) => Object.assign(thing, { ended: true }, thing.sort === "crucible" ? { standing: "ended" } : {}),
  load: (_here, things, thing, { id, fields, crucible, grams }) => {
    if (!things[id]) return;
    const code = readCode(fields.code ?? "") ?? things[crucible]?.code ?? null;
    Object.assign(things[id], { code, crucible, g: grams, cooling: thing.cooling, hot_pull: thing.hot_pull, wetted: thing.medium });
    if (things[crucible]) things[crucible].standing = "holding";
  },
  open: (_here, things, charge) => delete things[charge.crucible]?.standing,
  // What a charge holds was not in the load when the laptop told of it: it may hold carbonate.
  place: (_here, things, charge, { data, fields }) => {
    charge.place = fields.place;
    mayGas(things, data.firing);
  },
  light: (_here, things, firing, { ms }) => {
    for (const one of inside(things, firing.id)) Object.assign(one, { was_hot: true, in_heat: true, out: false, in_ms: ms, out_ms: null, surface_c: null, read_ms: null, before_c: null, before_ms: null });
  },
  note: (here, things, firing, { data, ms }) => noted(here, things, firing, { ...data, ms }),
  "go-in": (_here, things, _charge, { data }) => mayGas(things, data.firing),
};

// --- what is done without a declaration ---

/** What was read in °C; null where it cannot be told: the laptop then says why. */
export function degrees(firing, { same, mv, c, cold_c }) {
  if (same) return firing.readings.at(-1)?.[1] ?? null;
  if (mv === undefined) return c;
  const found = firing.probe ? celsius(firing.probe, mv, cold_c) : null;
  return found === null ? null : Math.round(found * 10) / 10;
}

function read(_here, _things, firing, done) {
  const c = degrees(firing, done);
  if (c === null && done.mv !== undefined) firing.untold = [done.ms, done.mv];
  if (c === null) return;
  firing.readings = [...firing.readings, [done.ms, c]].sort((a, b) => a[0] - b[0]);
  firing.last_c = firing.readings.at(-1)[1];
  firing.soaking = soaking(firing, firing.readings).startMs !== null;
}

function noted(_here, _things, firing, { what, value, ms }) {
  if (!what || !value) return;
  const known = firing.noted?.[what];
  if (!known || known[1] <= ms) firing.noted = { ...firing.noted, [what]: [value, ms] };
  if (what === "burner-change") firing.changed_ms = ms;
}

/** Whether anything that is asked stands answered, and nothing of it with not done. */
function isChecked(answers) {
  const said = Object.values(answers ?? {}).filter(Boolean);
  return said.length > 0 && !said.includes("not-done");
}

/** What the laptop makes of an answer on a fitting of the furnace. */
const MEANT = { "has-none": "does-not-apply", "not-known": "not-done" };

/** Answers to what is asked now; those to lists from before wait for the laptop, which knows what they asked. */
function tick(_here, things, thing, { list, answers, ms }) {
  const sitting = thing.sort === "batch" ? Object.values(things).filter((one) => one.sort === "batch") : [thing];
  for (const one of sitting) {
    for (const [item, answer] of Object.entries(answers)) {
      const asked = one.checks?.[list] ?? {};
      const early = (item === PURGE && ms < (one.missed_ms ?? -Infinity) + WAIT_MS) || (item === HOUR && answer === "done" && isEarly(one, ms));
      if (item in asked && !early && (one === thing || item !== OF_ITS_OWN)) asked[item] = MEANT[answer] ?? answer;
    }
    if (one.sort === "firing") Object.assign(one, { checked: isChecked(one.checks?.["before-lighting"]) }, looks(one, list, answers, ms));
  }
}

/** Whether a moment is too soon after a fire for the look at the hour. */
export const isEarly = ({ off_ms: off }, ms) => typeof off === "number" && ms < off + EARLY_MS;

/** How the looks after a fire stand: each of them holds its closing. */
function looks({ checks: { "after-shutdown": asked }, looked_ms: before }, list, { [HOUR]: hour }, ms) {
  if (list !== "after-shutdown") return {};
  const looked = hour === "done" ? ms : hour ? null : before;
  return { after_done: Object.values(asked).every((answer) => answer && answer !== "not-done"), looked_ms: looked };
}

/** The burner did not light: its purge is asked anew. */
function missed(_here, _things, firing, { ms }) {
  firing.missed_ms = ms;
  const list = firing.checks?.["before-lighting"] ?? {};
  if (PURGE in list) list[PURGE] = null;
  firing.checked = isChecked(list);
}

export const FOLD = {
  batch: { checks: tick },
  firing: {
    checks: tick,
    unlit: missed,
    reading: read,
    watch: noted,
  },
};

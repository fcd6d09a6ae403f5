// Which step comes next out here, on which page it is done, and what stands against what a form would record, by what this
// phone knows. A fact is never refused: what stands against it only holds the key until it is said that it was done already.

import { addressOf, isDamp, isHot, minded, say } from "./away.js";
import { whole } from "./elements.js";
import { against, fill } from "./facts.js";
import { BAND_C, provedC, soaking } from "./fire.js";
import { inCrucible } from "./happened.js";
import { bare, dashed } from "./read.js";
import { now } from "./timers.js";

const stopped = (checks, { recorded_only: free = [] }) =>
  Object.entries(checks ?? {}).some(([item, answer]) => answer === "not-done" && !free.includes(item));
const unanswered = (checks) => Object.values(checks ?? {}).includes(null);

/** Grams to add to a weighed line since the batch was made larger; 0 where nothing is missing. */
export function shortOf(batch, { target_g, planned_g, weighed_g }) {
  const missing = weighed_g === null || target_g <= planned_g ? 0 : target_g - weighed_g;
  return missing > (batch.within_g ?? 0) + 1e-9 ? missing : 0;
}

/** The line to weigh: the first that is not weighed, else the first that must be topped up; null when all is there. */
export const lineToWeigh = (batch) => batch.lines.find((one) => one.weighed_g === null) ?? batch.lines.find((one) => shortOf(batch, one)) ?? null;

/** The list that comes before a step on a batch. */
export const LISTS = { weigh: "before-weighing", load: "before-loading" };

/** Whether an item of that list stands answered with not done. */
const isStopped = (thing, verb) => stopped(thing.checks?.[LISTS[verb]], thing);

/** The same while it is open: one of its items is not done, or nobody answered it yet and the weighing has not begun. */
export function listFirst(thing, verb) {
  const list = thing.checks?.[LISTS[verb]];
  const begun = verb === "weigh" && thing.lines?.some((one) => one.weighed_g !== null);
  return list && (isStopped(thing, verb) || (!begun && unanswered(list))) ? LISTS[verb] : null;
}

/** Where a batch is weighed on: its checks while they are open, else the line to weigh. */
export function weighing(batch) {
  const line = lineToWeigh(batch);
  return line && !listFirst(batch, "weigh") ? `/batch/${batch.id}/weigh/${line.line}` : `/batch/${batch.id}/weigh`;
}

/** The page on which a step is done on a thing. */
export function pageOf(step, thing) {
  if (step.verb === "weigh") return weighing(thing);
  // What must be topped up since the batch was made larger comes before the mortar.
  if (step.verb === "grind" && thing.sort === "batch" && lineToWeigh(thing)) return weighing(thing);
  return addressOf(step, thing);
}

/** The next step of a thing: {verb, title, page}; null when nothing is left to be done with it. */
export function nextOf(here, things, id) {
  const thing = things[id];
  if (thing.ended) return null;
  const [first] = here.due(things, id);
  if (first) return { verb: first.step.verb, title: fill(first.title, here.look(things, id, {}), here.places), page: pageOf(first.step, thing) };
  const waits = thing.sort === "charge" && thing.firing && !thing.ended && !thing.out;
  return waits ? { verb: "fire", title: say("fire"), page: `/firing/${thing.firing}` } : null;
}

/** Where one goes on to after what was done, as the laptop would send one. */
export function onward(here, things, { verb, step, thing: id, id: made, on, data, fields }) {
  if (verb === "grind" && data.streak === "specks") return addressOf(step, things[id]);
  if (verb === "shut-down") return `/firing/${id}/checks/after-shutdown`;
  if (verb === "come-out" && on.length === 1 && !fields.all) return `/charge/${on[0]}/cool`;
  if (verb === "load") return `/charge/${made}`;
  if (verb === "open") return `/pigment/${made}`;
  const thing = things[id];
  if (!thing) return null;
  const home = `/${thing.sort}/${thing.id}`;
  if (thing.sort === "firing" || verb === "place") return home;
  return nextOf(here, things, id)?.page ?? home;
}

// --- what stands against lighting, by the order of the work ---

export const GOOD = ["done", "does-not-apply"];

/** The names of what stands against lighting a firing now. */
function againstLighting(here, things, firing) {
  const answers = Object.values(firing.checks?.["before-lighting"] ?? {});
  const damp = Object.values(things).some((one) => one.sort === "charge" && one.firing === firing.id && !one.ended && isDamp(here, things, one.id));
  return [
    ...(firing.lit_ms !== null ? ["already-lit"] : []),
    ...(answers.includes("not-done") ? ["check-says-stop"] : []),
    ...(answers.some((one) => !GOOD.includes(one)) ? ["checks-before-lighting"] : []),
    ...(damp ? ["damp-charge"] : []),
  ];
}

// --- what stands against what a form would record: sentences, those of the declarations first ---

const spoken = (charge) => ({ code: charge.code ? dashed(charge.code) : charge.of, name: charge.of });
const told = (name, values = {}) => ({ rule: name, effect: "block", say: say(name, values), sure: true });

/** Whether a code that something bears is no crucible's; a full one's leads to what is in it. */
export const isOther = (path) => Boolean(path) && !/^\/(crucible|charge)\//.test(path);

/** What stands against a charge coming out of a firing. */
export const comingOut = (charge, firing) => (charge.firing === firing && charge.in_heat ? [] : [told("not-inside", spoken(charge))]);

/** What stands against a charge going into the heat of a firing now. */
export const goingIn = (here, things, charge, firing) =>
  against(here.steps.get("go-in"), here.look(things, charge.id, { firing, charge: charge.id }));

function filling({ fields, crucible }, things, codes) {
  const [name, path] = codes[bare(fields.code)] ?? [];
  const held = inCrucible(things, { code: fields.code, crucible: fields.crucible ?? crucible ?? path?.match(/^\/crucible\/(\w+)/)?.[1] });
  if (held) return [told("full", spoken(held))];
  return isOther(path) ? [told("no-crucible", { code: dashed(fields.code), name })] : [];
}

/** A code that is asked for at a furnace, and means none of the charges that this phone knows. */
function unmeant({ fields }, codes) {
  const [name, path] = codes[bare(fields.code)] ?? [];
  return path ? [told(isOther(path) ? "no-crucible" : "empty", { code: dashed(fields.code), name })] : [];
}

function taken(charge, { data, fields }, things) {
  const there = (one) => one.sort === "charge" && one.id !== charge.id && !one.ended && !one.out && one.firing === data.firing && one.place === fields.place;
  const other = fields.place && Object.values(things).find(there);
  return other ? [told("place-taken", spoken(other))] : [];
}

/** What the laptop told of the furnace's last fire stands until this one was lit or read. */
function chamber(firing) {
  const waits = firing?.chamber_hot && firing.lit_ms === null && !firing.readings?.length;
  return waits ? [{ rule: "chamber-hot", effect: "block", say: firing.chamber_hot, sure: true }] : [];
}

const listStops = (thing, verb) => (isStopped(thing, verb) ? [{ ...told(`${verb}-list-stops`), rule: "check-says-stop" }] : []);

/** As COLD_BELOW_C of bench/reckoning/rules/follows.py: what comes out of a furnace below it is not pulled hot. */
const COLD_C = 100;
const MINUTE = 60_000;

/** A fire whose readings stayed below its planned peak did not end as planned, unless that is said. */
function endedLow(fire, { reason }) {
  const highest = Math.max(...(fire.readings ?? []).map(([, c]) => c));
  if (reason !== "reached" || !Number.isFinite(highest) || !(highest < fire.peak_c - BAND_C)) return [];
  return [told("ended-low", { c: whole(highest), peak: whole(fire.peak_c) })];
}

/** Out of a furnace that was last read hot, or was not read, though its plan is to cool in there. */
function pulledHot({ hot_pull: planned, in_heat: within, firing }, fire) {
  const c = provedC(fire?.readings ?? []);
  if (!within || firing !== fire?.id || planned || (c !== null && c <= COLD_C)) return [];
  return [{ ...told("hot-pull"), rule: "hot-pull-unplanned", sure: c !== null }];
}

/** A fire that was put out before its planned time at heat can have passed, by its readings. */
function endedEarly(fire, { reason }, ms) {
  const { startMs } = soaking(fire, fire.readings ?? []);
  if (reason !== "reached" || startMs === null || fire.lit_ms === null) return [];
  const since = Math.max(fire.lit_ms, ...fire.readings.filter(([when]) => when < startMs).map(([when]) => when));
  const most = (ms - since) / MINUTE;
  return most > fire.hold_min - 1 ? [] : [told("ended-early", { most: whole(Math.max(0, most)), hold: fire.hold_min })];
}

const MORE = {
  "shut-down": (_here, _things, fire, { data }) => [endedLow(fire, data), endedEarly(fire, data, now())].find((one) => one.length) ?? [],
  light: (here, things, firing) => againstLighting(here, things, firing).map((name) => told(name)),
  // What nobody has answered yet holds nothing: only what was answered with not done.
  weigh: (_here, _things, batch) => listStops(batch, "weigh"),
  load: (_here, things, thing, doing, codes) => [...listStops(thing, "load"), ...filling(doing, things, codes)],
  place: (_here, things, charge, doing) => [...chamber(things[doing.data.firing]), ...taken(charge, doing, things)],
  "come-out": (_here, things, charge, { thing }) => [...comingOut(charge, thing), ...pulledHot(charge, things[thing])],
  open: (here, things, charge) => (isHot(here, things, charge.id) && !charge.ended ? [told("hot", spoken(charge))] : []),
};

/** What stands against what a form would do: [{rule, effect, say, sure}]; empty when it may be recorded. */
export function stopsOf(here, things, doing, codes = {}) {
  if (!doing || doing.fields.all || doing.verb === "all-out") return [];
  const { verb, step, on, data } = doing;
  if (!step) return [];
  const [thing] = on;
  if (!thing) return unmeant(doing, codes);
  if (!things[thing]) return [];
  const own = [...against(step, here.look(things, thing, data)), ...minded(here, things, step, thing, data)];
  const found = [...own, ...(MORE[verb]?.(here, things, things[thing], doing, codes) ?? [])];
  return found.filter((one, n) => found.findIndex(({ say: words }) => words === one.say) === n);
}

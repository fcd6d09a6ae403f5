// Things as this phone knows them: the facts that the laptop told, with what was sent since and what waits in the outbox
// folded over them. A form of a declared step does what its declaration says; the few others are read and folded in happened.js.

import { House, UNKNOWN, apply, holds } from "./facts.js";
import { AFTER, BEFORE, FOLD, inside, meant, readForm, whenOf } from "./happened.js";
import { readStep } from "./read.js";
import { all, fact } from "./store.js";

// --- the words that came along with the pages ---

const words = (await fact("words").catch(() => null)) ?? {};

/** Whether the words of a name came along to this phone. */
export const knows = (name) => Object.hasOwn(words, name);

/** The words of a name, with what stands in their braces. */
export const say = (name, values = {}) =>
  Object.entries(values).reduce((text, [key, value]) => text.replace(`{${key}}`, () => String(value)), words[name] ?? name);

// --- the declarations, with the ways that lead to their steps ---

/** What was answered stands for so long: as SITTING of bench/workshop/answered.py. */
const SITTING_MS = 4 * 60 * 60_000;
const ID = "[0-7][0-9A-HJKMNP-TV-Z]{25}";

/** The declarations with the ways that lead to their steps. `told` is what came along with the lists of pages. */
export function houseOf(declared, told = {}) {
  const made = new House(declared, told.places ?? null);
  return Object.assign(made, { told, ways: waysOf(made) });
}

function waysOf({ steps }) {
  const onThings = (step) => (step.address ?? []).filter((address) => address.includes("{"));
  const ways = [...steps.values()].flatMap((step) => onThings(step).map((address) => [address, step]));
  const pattern = (address) => new RegExp(`^${address.replace("{line}", "\\d+").replace(/\{\w+\}/, `(${ID})`)}$`);
  return ways.map(([address, step]) => [pattern(address), step, address.match(/\{(\w+)\}/)[1]]);
}

/** The declarations, as they came along with the pages; null where none did. */
async function house() {
  const told = await fact("drawn").catch(() => null);
  if (!told?.url || !knows("no-empty")) return null;
  return houseOf(await (await fetch(told.url)).json(), told);
}

/** The step that is done at an address and the thing that it is done on; null where no declared one is. */
export function at(here, path, things) {
  const found = here.ways.flatMap(([way, step, sort]) => {
    const [, thing] = path.match(way) ?? [];
    return thing && step.away !== false ? [{ step, thing, sort }] : [];
  });
  // One address may stand for things of several sorts.
  return found.find(({ thing, sort }) => things[thing]?.sort === sort) ?? found[0] ?? null;
}

/** The address of a step on a thing. */
export const addressOf = (step, { sort, id }) => step.address?.find((one) => one.includes(`{${sort}}`) && !one.includes("{line}"))?.replace(`{${sort}}`, id);

/** The first value of each field: what the laptop takes of one that comes twice. */
export const fieldsOf = (pairs) => Object.fromEntries([...pairs].reverse().filter(([, value]) => typeof value === "string"));

/** What is weighed by jar is a line of the batch that the form names. */
const wayOf = (path, { batch, line }) => (path.startsWith("/weigh/jar/") && batch ? `/batch/${batch}/weigh/${line}` : path);

/** What a form says that is done: {verb, thing, on: the things that it is done on, data}; null where that is not known. */
export function doing(here, things, address, pairs) {
  const fields = fieldsOf(pairs);
  const path = wayOf(address, fields);
  const said = readForm(path, fields, pairs);
  if (said) return said.verb === "nothing" ? null : { fields, on: [said.thing], ...said };
  const found = at(here, path, things);
  if (!found) return null;
  const { step, thing, sort } = found;
  const own = step.on.includes(sort);
  // At a furnace it is done on the charge that the form names.
  const on = own ? [thing] : [meant(things, fields)?.id].filter(Boolean);
  const { typed, data } = readStep(here, things, step, on[0], fields, say);
  const done = { verb: step.verb, step, thing, on, fields, path, data: { ...typed, ...data, ...(own ? {} : { [sort]: thing }) } };
  if (things[on[0]]) BEFORE[step.verb]?.(here, things, things[on[0]], done);
  return done;
}

function fold(here, things, done) {
  const { step, on, data, id, ms } = done;
  for (const one of on.filter((each) => things[each])) {
    if (!step) {
      FOLD[things[one].sort]?.[done.verb]?.(here, things, things[one], done);
      continue;
    }
    apply(here, step, things, { thing: one, data, at_ms: ms, made: id });
    if (things[id]) Object.assign(things[id], { code: done.fields.new_code ?? null, from: one, away: true });
    AFTER[step.verb]?.(here, things, things[one], done);
  }
}

/** What was answered of dust for one thing stands for the others of this sitting too. */
function answered(things, { fields, ms }) {
  for (const item of Object.values(things).flatMap(({ dust }) => dust ?? [])) {
    const answer = fields[`answer.${item.slug}`];
    if (answer) item.done_ms = answer === "not-done" ? null : ms;
  }
}

/** What is to be answered of dust now: what nobody has answered as it should be in this sitting. */
export const openDust = (thing) => (thing.dust ?? []).filter(({ done_ms: ms }) => !ms || Date.now() - ms > SITTING_MS);

/** All out at once is a taking out of each that is in. */
function spread(here, things, done) {
  if (done?.verb !== "all-out") return done;
  const step = here.steps.get("come-out");
  return { ...done, verb: "come-out", step, on: inside(things, done.thing).map((one) => one.id), data: { firing: done.thing } };
}

/** How things stand with these entries: {things, done, unsure}; `unsure` where a delivered record is to be undone. */
export function folded(here, told, entries) {
  const things = structuredClone(told);
  const live = entries.filter((one) => !one.refused && !one.aside);
  const undone = new Set(live.filter((one) => one.action === "/undo").flatMap(({ fields }) => fields.filter(([name]) => name === "ids").flatMap(([, ids]) => String(ids).split(" "))));
  const done = [];
  for (const entry of live.filter((one) => !undone.has(one.id))) {
    const one = spread(here, things, doing(here, things, entry.action.split("?")[0], entry.fields));
    if (!one) continue;
    Object.assign(one, { id: entry.id, ms: whenOf(entry, one.fields) });
    fold(here, things, one);
    answered(things, one);
    done.push(one);
  }
  // What was told counts that record in, and a phone cannot take it out again: then nothing is said of how things stand.
  const waits = new Set(live.map((one) => one.id));
  return { things, done, unsure: [...undone].some((id) => !waits.has(id)) };
}

/** The declarations, what was told, and how things stand now; without declarations nothing is known. */
export async function standing() {
  const [here, told, sent, waiting] = await Promise.all([house().catch(() => null), fact("told").catch(() => null), fact("delivered"), all()]);
  if (!here || !told) return { here: null, told: {}, things: {}, done: [], unsure: false };
  return { here, told, ...folded(here, told, [...(sent ?? []), ...waiting]) };
}

/** Whether a derived fact of a thing is so; what is not known counts as the worse. */
const isSo = (here, things, id, name) => Boolean(things[id]) && here.fact(things, id, [name]) !== false;
export const isDamp = (here, things, id) => isSo(here, things, id, "damp");
export const isHot = (here, things, id) => isSo(here, things, id, "hot");
export const burns = (here, things, id) => Boolean(things[id]) && here.fact(things, id, ["burns"]) === true;

/** Whether anything burns or is hot, as `is_dangerous` of bench/web/page.py asks it on the laptop. */
export const isDangerous = ({ here, things }) =>
  Object.values(things).some(({ sort, id, ended }) => (sort === "firing" ? burns(here, things, id) : sort === "charge" && !ended && isHot(here, things, id)));

/** Where a thing came from, for what is to be minded with it: its own told cautions, else those of what it came of. */
export function feetOf(here, things, id) {
  return here.told.feet?.[id] ?? (things[id]?.from ? feetOf(here, things, things[id].from) : null);
}

/** What the laptop told of its rules for a step on a thing, or on what it came of; undefined where it told nothing. */
export const rulesTold = (here, things, step, id) => here.told.minds?.[id]?.[step.verb] ?? (things[id]?.from ? rulesTold(here, things, step, things[id].from) : undefined);

/** What those rules have against it by what the form says; an answer that is not known counts as the worse. */
export function minded(here, things, step, id, typed) {
  const look = here.look(things, id, typed);
  // A filling has what its batch was wetted with when it was filled.
  const seen = (path) => (path === "batch.medium" && "wetted" in things[id] ? (things[id].wetted ?? UNKNOWN) : look(path));
  const found = (rulesTold(here, things, step, id) ?? []).filter(({ when }) => !when || holds(when, seen) !== false);
  return found.map(({ rule, effect, say: words, sure }) => ({ rule, effect, say: words, sure }));
}

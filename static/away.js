// Things as a phone knows them for its own pages: the facts that it was told, with what waits in its outbox folded over.

import { House, apply } from "./facts.js";
import { knows, say } from "./made.js";
import { all, fact } from "./outbox_store.js";
import { readStep } from "./step_read.js";

const ID = "[0-7][0-9A-HJKMNP-TV-Z]{25}";

/** The declarations, as they came along with the pages; null where none did. */
export async function house() {
  const told = await fact("drawn");
  if (!told?.url || !knows("no-empty")) return null;
  const made = new House(await (await fetch(told.url)).json(), told.places);
  return Object.assign(made, { told, ways: waysOf(made) });
}

function waysOf({ steps }) {
  const onThings = (step) => (step.address ?? []).filter((address) => address.includes("{"));
  const ways = [...steps.values()].flatMap((step) => onThings(step).map((address) => [address, step]));
  const pattern = (address) => new RegExp(`^${address.replace(/\{\w+\}/, `(${ID})`)}$`);
  return ways.map(([address, step]) => [pattern(address), step, address.match(/\{(\w+)\}/)[1]]);
}

/** The step that is done at an address and the thing that it is done on; null where no declared one is. */
export function at(here, path) {
  for (const [way, step, sort] of here.ways) {
    const [, thing] = path.match(way) ?? [];
    if (thing && step.away !== false) return { step, thing, sort };
  }
  return null;
}

/** The address of a step on a thing. */
export const addressOf = (step, { sort, id }) => step.address?.find((one) => one.includes(`{${sort}}`))?.replace(`{${sort}}`, id);

function undone(entries) {
  const ids = entries.filter((one) => one.action === "/undo").flatMap((one) => one.fields.filter(([name]) => name === "ids"));
  return new Set(ids.flatMap(([, value]) => String(value).split(" ")));
}

/** The first value of each field: what the laptop takes of one that comes twice. */
export const fieldsOf = (pairs) => Object.fromEntries([...pairs].reverse().filter(([, value]) => typeof value === "string"));

/** Every thing as it stands with what waits. Where a delivered record is to be undone, `here.unsure` says that it may not. */
export async function standing(here) {
  const things = structuredClone(here.told.facts);
  const entries = (await all()).filter((one) => !one.refused && !one.aside);
  const gone = undone(entries);
  const waits = new Set(entries.map((one) => one.id));
  // What was told counts that record in, and a phone cannot take it out again: then nothing is said of how things stand.
  here.unsure = [...gone].some((id) => !waits.has(id));
  for (const entry of entries.filter((one) => !gone.has(one.id))) {
    const found = at(here, entry.action.split("?")[0]);
    if (!found || !things[found.thing]) continue;
    const fields = fieldsOf(entry.fields);
    const { typed, data } = readStep(here, things, found.step, found.thing, fields, say);
    apply(here, found.step, things, { thing: found.thing, data: { ...typed, ...data }, at_ms: entry.at_ms, made: entry.id });
    const made = things[entry.id];
    if (made) Object.assign(made, { code: fields.new_code ?? null, from: found.thing, away: true });
  }
  return things;
}

/** Where a thing came from, for what is to be minded with it: its own told cautions, else those of what it came of. */
export function feetOf(here, things, id) {
  return here.told.feet[id] ?? (things[id]?.from ? feetOf(here, things, things[id].from) : null);
}

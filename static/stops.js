// What stands against what a form would record, by what this phone knows: sentences, those of the declarations first.
// A fact is never refused: each of these only holds the key until it is said that it was done already.

import { isHot, minded } from "./away.js";
import { dashed } from "./codes.js";
import { against } from "./facts.js";
import { inCrucible, plain } from "./happened.js";
import { say } from "./made.js";
import { againstLighting, isStopped } from "./ways.js";

const spoken = (charge) => ({ code: charge.code ? dashed(plain(charge.code)) : charge.of, name: charge.of });
const told = (name, values = {}) => ({ rule: name, effect: "block", say: say(name, values), sure: true });

/** Whether a code that something bears is no crucible's; a full one's leads to what is in it. */
export const isOther = (path) => Boolean(path) && !/^\/(crucible|charge)\//.test(path);

/** What stands against a charge coming out of a firing. */
export const comingOut = (charge, firing) => (charge.firing === firing && charge.in_heat ? [] : [told("not-inside", spoken(charge))]);

/** What stands against a charge going into the heat of a firing now. */
export const goingIn = (here, things, charge, firing) =>
  against(here.steps.get("go-in"), here.look(things, charge.id, { firing, charge: charge.id }));

function filling({ fields, crucible }, things, codes) {
  const [name, path] = codes[plain(fields.code)] ?? [];
  const held = inCrucible(things, { code: fields.code, crucible: fields.crucible ?? crucible ?? path?.match(/^\/crucible\/(\w+)/)?.[1] });
  if (held) return [told("full", spoken(held))];
  return isOther(path) ? [told("no-crucible", { code: dashed(plain(fields.code)), name })] : [];
}

/** A code that is asked for at a furnace, and means none of the charges that this phone knows. */
function unmeant({ fields }, codes) {
  const [name, path] = codes[plain(fields.code)] ?? [];
  return path ? [told(isOther(path) ? "no-crucible" : "empty", { code: dashed(plain(fields.code)), name })] : [];
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

const MORE = {
  light: (here, things, firing) => againstLighting(here, things, firing).map((name) => told(name)),
  // What nobody has answered yet holds nothing: only what was answered with not done.
  weigh: (_here, _things, batch) => listStops(batch, "weigh"),
  load: (_here, things, thing, doing, codes) => [...listStops(thing, "load"), ...filling(doing, things, codes)],
  place: (_here, things, charge, doing) => [...chamber(things[doing.data.firing]), ...taken(charge, doing, things)],
  "come-out": (_here, _things, charge, { thing }) => comingOut(charge, thing),
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

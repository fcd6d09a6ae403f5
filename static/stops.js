// What stands against what a form would record, by what this phone knows: names of sentences, and what stands in them.
// A fact is never refused: each of these only holds the key until it is said that it was done already.

import { dashed } from "./codes.js";
import { against, burns, isDamp, isHot } from "./gates.js";

export const plain = (code) => (code ?? "").replace("-", "").toUpperCase();
const spoken = (charge) => ({ code: charge.code ? dashed(plain(charge.code)) : charge.of, name: charge.of });
const charges = (things) => Object.values(things).filter((one) => one.sort === "charge");

/** The charge that a form means, by its code or by its id. */
function meant(things, { code, charge }) {
  if (!code) return things[charge];
  return charges(things).find((one) => !one.ended && plain(one.code) === plain(code));
}

/** What stands against a charge going into the heat of a firing now. */
export function goingIn(charge, firing) {
  const values = spoken(charge);
  const found = isDamp(charge) && !charge.ended ? [["damp", values]] : [];
  if (charge.ended) found.push(["charge-ended", values]);
  else if (charge.in_heat) found.push(["in-already", values]);
  else if (charge.firing !== firing) found.push(["other-firing", values]);
  return found;
}

/** What stands against a charge coming out of a firing. */
export const comingOut = (charge, firing) =>
  charge.firing === firing && charge.in_heat ? [] : [["not-inside", spoken(charge)]];

/** The charge that is in a crucible now, by its code or its id. */
export const inCrucible = (things, { code, crucible }) =>
  charges(things).find((one) => !one.ended && ((code && plain(one.code) === plain(code)) || (crucible && one.crucible === crucible)));

/** Whether a code that something bears is no crucible's; a full one's leads to what is in it. */
export const isOther = (path) => Boolean(path) && !/^\/(crucible|charge)\//.test(path);

function filling(things, fact, codes) {
  const [name, path] = codes[plain(fact.code)] ?? [];
  const crucible = fact.crucible ?? path?.match(/^\/crucible\/(\w+)/)?.[1];
  const held = inCrucible(things, { code: fact.code, crucible });
  if (held) return [["full", spoken(held)]];
  return isOther(path) ? [["no-crucible", { code: dashed(plain(fact.code)), name }]] : [];
}

const MOVES = {
  in: (charge, fact) => goingIn(charge, fact.thing),
  out: (charge, fact) => comingOut(charge, fact.thing),
  put: (charge, fact, things) => placing(things, charge, { ...fact, firing: fact.thing }),
};

function moving(things, fact, codes) {
  const charge = meant(things, fact);
  if (charge) return MOVES[fact.kind](charge, fact, things);
  const [name, path] = codes[plain(fact.code)] ?? [];
  if (!path) return [];
  return [[isOther(path) ? "no-crucible" : "empty", { code: dashed(plain(fact.code)), name }]];
}

function placing(things, charge, fact) {
  const values = spoken(charge);
  if (charge.ended) return [["charge-ended", values]];
  const found = isDamp(charge) && !charge.in_heat && burns(things[fact.firing]) ? [["damp", values]] : [];
  if (charge.in_heat && charge.firing !== fact.firing) found.push(["in-already", values]);
  const there = (one) => one.id !== charge.id && !one.ended && !one.out && one.firing === fact.firing && one.place === fact.place;
  const other = fact.place && charges(things).find(there);
  return other ? [...found, ["place-taken", spoken(other)]] : found;
}

const STEPS = { mixed: "grind", charged: "load", dried: "dry", lit: "light", weighed: "weigh" };

/** What stands against a fact: [name of a sentence, what stands in it], each; empty when it may be recorded. */
export function stopsOf(fact, things, codes = {}) {
  const thing = things[fact?.thing];
  if (!thing || fact.all) return [];
  if (fact.kind in MOVES) return moving(things, fact, codes);
  if (fact.kind === "placed") return placing(things, thing, fact);
  if (fact.kind === "opened") return isHot(thing) ? [["hot", spoken(thing)]] : [];
  const order = (STEPS[fact.kind] ? against(STEPS[fact.kind], thing, things) : []).map((name) => [name, {}]);
  return fact.kind === "charged" ? [...order, ...filling(things, fact, codes)] : order;
}

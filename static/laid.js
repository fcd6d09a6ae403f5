// Things as they stand with what waits: facts that happened on the phone, laid over what the laptop last told.

import { burns, isDamp } from "./gates.js";
import { rescale } from "./rescale.js";
import { celsius } from "./thermocouple.js";

const DRY = ["dry", "none"];

function weigh(batch, fact) {
  const line = batch.lines.find((one) => one.line === fact.line);
  if (!line) return;
  line.weighed_g = fact.net_g ?? (line.weighed_g ?? 0) + fact.added_g;
  // A second weighing of the line corrects what it found: on the phone the same as on the laptop.
  line.heads = [fact.id];
  if (!fact.scale) return;
  const { factor } = rescale(batch.lines.map((one) => one.target_g), batch.lines.map((one) => one.weighed_g));
  for (const one of batch.lines) one.target_g *= factor;
}

function charged(things, batch, fact) {
  const damp = fact.wet || isDamp(batch);
  batch.charges += 1;
  batch.gone_g += fact.g;
  const none = { masses_g: [], firing: null, was_hot: false, in_heat: false, out: false, surface_c: null, ended: false };
  const { id, code, crucible, g } = fact;
  things[id] = { sort: "charge", id, code, crucible, of: batch.name, g, source_damp: damp, ...none };
}

const inside = (things, firing) => Object.values(things).filter((one) => one.sort === "charge" && one.firing === firing.id && !one.ended);

/** The charges that a fact names: all, or the one of its code or its id. */
function chosen(things, firing, fact) {
  const codes = (one) => fact.code && one.code && one.code.replace("-", "") === fact.code.replace("-", "").toUpperCase();
  const found = fact.all ? inside(things, firing) : Object.values(things).filter((one) => one.id === fact.charge || codes(one));
  return found.filter((one) => one.sort === "charge");
}

function move(things, firing, fact) {
  for (const one of chosen(things, firing, fact)) {
    Object.assign(one, { firing: firing.id, was_hot: true, in_heat: fact.kind === "in", out: fact.kind === "out" });
    // What was read on it before this heat says nothing of it after.
    if (fact.kind === "in") {
      one.surface_c = null;
      firing.carbonate = true;
    }
  }
}

function light(things, firing, fact) {
  firing.lit_ms = fact.ms;
  firing.off_ms = null;
  for (const one of inside(things, firing)) Object.assign(one, { was_hot: true, in_heat: true, out: false, surface_c: null });
}

/** What was read in °C; null where it cannot be told: the laptop then says why. */
function degrees(firing, fact) {
  if (fact.same) return firing.readings.at(-1)?.[1] ?? null;
  if (fact.mv === undefined) return fact.c;
  const c = firing.probe ? celsius(firing.probe, fact.mv, fact.cold_c) : null;
  return c === null ? null : Math.round(c * 10) / 10;
}

function note(_things, firing, fact) {
  const known = firing.noted?.[fact.what];
  if (!known || known[1] <= fact.ms) firing.noted = { ...firing.noted, [fact.what]: [fact.value, fact.ms] };
  if (fact.what === "burner-change") firing.changed_ms = fact.ms;
}

const PURGE = "light-purge";
const WAIT_MS = 5 * 60_000;
/** What is answered for the jars of one batch, and says nothing of those of another. */
const OF_ITS_OWN = "weigh-sheet-read";

/** Answers to what is asked now; those to lists from before wait for the laptop, which knows what they asked. */
function tick(things, thing, fact) {
  const sitting = thing.sort === "batch" ? Object.values(things).filter((one) => one.sort === "batch") : [thing];
  for (const one of sitting) {
    for (const [item, answer] of Object.entries(fact.answers)) {
      const list = one.checks?.[fact.list] ?? {};
      const early = item === PURGE && fact.ms < (one.missed_ms ?? -Infinity) + WAIT_MS;
      if (item in list && !early && (one === thing || item !== OF_ITS_OWN)) list[item] = answer;
    }
  }
}

/** The burner did not light: its purge is asked anew. */
function missed(_things, firing, fact) {
  firing.missed_ms = fact.ms;
  const list = firing.checks?.["before-lighting"] ?? {};
  if (PURGE in list) list[PURGE] = null;
}

const ON = {
  batch: {
    weighed: (things, batch, fact) => weigh(batch, fact),
    mixed: (_things, batch, fact) => {
      batch.mixed = true;
      if (!DRY.includes(fact.medium)) batch.masses_g = [];
    },
    dried: (_things, batch, fact) => fact.mass_g !== null && batch.masses_g.push(fact.mass_g),
    charged,
    checks: tick,
    closed: (_things, batch) => (batch.ended = true),
  },
  charge: {
    dried: (_things, charge, fact) => fact.mass_g !== null && charge.masses_g.push(fact.mass_g),
    placed: (things, charge, fact) => {
      const fire = things[fact.firing];
      // A place in a furnace that burns is in the heat at once.
      const heated = burns(fire);
      Object.assign(charge, { firing: fact.firing, place: fact.place, in_heat: heated, out: false });
      if (heated) Object.assign(charge, { was_hot: true, surface_c: null });
      // What it holds was not in the load when the laptop told of it: it may hold carbonate.
      if (fire) fire.carbonate = true;
    },
    touched: (_things, charge, fact) => (charge.surface_c = fact.c),
    opened: (_things, charge) => (charge.ended = true),
    closed: (_things, charge) => (charge.ended = true),
  },
  firing: {
    checks: tick,
    lit: light,
    unlit: missed,
    reading: (_things, firing, fact) => {
      const c = degrees(firing, fact);
      if (c === null && fact.mv !== undefined) firing.untold = [fact.ms, fact.mv];
      if (c !== null) firing.readings = [...firing.readings, [fact.ms, c]].sort((a, b) => a[0] - b[0]);
    },
    noted: note,
    put: (things, firing, fact) => {
      const one = chosen(things, firing, fact)[0];
      if (one) ON.charge.placed(things, one, { ...fact, firing: firing.id });
    },
    in: move,
    out: move,
    off: (_things, firing, fact) => (firing.off_ms = fact.ms),
    closed: (_things, firing) => (firing.closed = true),
  },
};

/** Every thing that the laptop told of, and those that were made on the phone since, as they stand now. */
export function laid(told, facts) {
  const things = structuredClone(told);
  for (const fact of facts) {
    const thing = things[fact.thing];
    ON[thing?.sort]?.[fact.kind]?.(things, thing, fact);
  }
  return things;
}

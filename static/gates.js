// Which step comes next, and what of the work's own order stands against one, given what is known and what waits.
// Twin of bench/workshop/next_steps.py and gates.py for these; one vector file proves both. The laptop's further rules
// (hazards, ventilation, ratings) stand on the stored pages themselves, as of when they were stored.

const STEADY = { share: 0.002, g: 0.01 };
const EMPTY = 0.005;
const COOL_C = 40;

/** Whether the last two of some masses, oldest first, are equal within what a steady mass may drift. */
export function isSteady(masses) {
  const [before, after] = masses.slice(-2);
  return masses.length > 1 && Math.abs(before - after) <= Math.max(STEADY.g, STEADY.share * before);
}

export const isDamp = (thing) => !isSteady(thing.masses_g ?? []) && (thing.sort === "batch" || thing.source_damp);
export const burns = (firing) => Boolean(firing) && firing.lit_ms !== null && firing.off_ms === null;
export const isHot = (charge) => charge.was_hot && (charge.surface_c === null || charge.surface_c >= COOL_C);

/** The line to weigh: the first that is not weighed, else the first that must be topped up; null when all is there. */
export function lineToWeigh(batch) {
  const short = ({ target_g, planned_g, weighed_g }) => target_g > planned_g && target_g - weighed_g > batch.within_g + 1e-9;
  return batch.lines.find((one) => one.weighed_g === null) ?? batch.lines.find(short) ?? null;
}

function batchStep(batch) {
  if (batch.ended) return null;
  if (batch.lines.some((one) => one.weighed_g === null)) return "weigh";
  const weighed = batch.lines.reduce((g, one) => g + one.weighed_g, 0);
  if (batch.gone_g > 0 && weighed - batch.gone_g <= Math.max(0.02, EMPTY * weighed)) return null;
  if (!batch.mixed) return "grind";
  return isDamp(batch) && !batch.charges ? "dry" : "load";
}

function chargeStep(charge) {
  if (charge.ended) return null;
  if (charge.out) return isHot(charge) ? "cool" : "open";
  // Also once it is placed: damp it must not stand there when the fire is lit.
  if (isDamp(charge) && !charge.in_heat) return "dry";
  return charge.firing ? "fire" : "place";
}

function firingStep(firing) {
  if (firing.closed) return null;
  return firing.off_ms === null ? "fire" : "after-checks";
}

/** The verb of the next step of a thing; null when nothing is left to be done with it. */
export const nextStep = (thing) => ({ batch: batchStep, charge: chargeStep, firing: firingStep })[thing.sort](thing);

const GOOD = ["done", "does-not-apply"];
const stops = (firing, list) => Object.values(firing.checks?.[list] ?? {}).includes("not-done");
const unanswered = (firing, list) => Object.values(firing.checks?.[list] ?? {}).some((answer) => !GOOD.includes(answer));

/** The names of the rules of order that stand against a step; empty when it may be done. */
export function against(step, thing, known = {}) {
  const found = [];
  if (thing.sort === "batch") {
    if (thing.ended) found.push("batch-closed");
    if (["grind", "load"].includes(step) && thing.lines.some((one) => one.weighed_g === null)) found.push("weigh-first");
  }
  if (thing.sort === "charge") {
    if (thing.ended) found.push("charge-ended");
    if (step === "dry" && thing.in_heat) found.push("in-heat");
  }
  if (thing.sort === "firing" && step === "light") {
    if (thing.lit_ms !== null) found.push("already-lit");
    if (stops(thing, "before-lighting")) found.push("check-says-stop");
    if (unanswered(thing, "before-lighting")) found.push("checks-before-lighting");
    const inside = Object.values(known).filter((one) => one.sort === "charge" && one.firing === thing.id && !one.ended);
    if (inside.some(isDamp)) found.push("damp-charge");
  }
  return found;
}

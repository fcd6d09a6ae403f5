// Which stretch of its schedule a fire is in, how long it held, and which air is to be in it.
// Twin of bench/workshop/stretches.py; one vector file proves both.

import { BAND_C, minutesAbove } from "./overlay.js";

const START_C = 20;

/** When a hold was over: the moment of the reading by which it was; null while it is not. */
function heldAt(inside, low, high, falls, holdMin) {
  let minutes = 0;
  for (let n = 1; n < inside.length; n += 1) {
    minutes += held(inside.slice(n - 1, n + 1), low, high, falls);
    if (minutes >= holdMin) return inside[n][0];
  }
  return null;
}

const held = (inside, low, high, falls) => minutesAbove(inside, low) - (falls ? minutesAbove(inside, high) : 0);

function stretch(number, { to_c: to, hold_min: hold, air }, falls, following, readings, sinceMs) {
  const nothing = { number, toC: to, holdMin: hold, air, falls, sinceMs, thereMs: null, heldMin: 0, doneMs: null };
  if (sinceMs === null) return nothing;
  const [low, high] = [to - BAND_C, to + BAND_C];
  const part = readings.filter(([ms]) => ms >= sinceMs);
  const there = part.findIndex(([, c]) => (falls ? c <= high : c >= low));
  if (there < 0) return nothing;
  const inside = part.slice(there);
  const climbs = following && !falls && following.to_c > to;
  const climbed = climbs ? inside.find(([, c]) => c >= following.to_c - BAND_C)?.[0] : undefined;
  const done = hold <= 0 ? inside[0][0] : heldAt(inside, low, high, falls, hold);
  const ends = [done, climbed].filter((ms) => ms !== null && ms !== undefined);
  const heldMin = held(inside, low, high, falls);
  return { ...nothing, thereMs: inside[0][0], heldMin, doneMs: ends.length ? Math.min(...ends) : null };
}

/** Every stretch of a fire's schedule, with its readings as [ms, °C]. One that was climbed past unheld counts as done. */
export function stretches(fire, readings) {
  let [before, since] = [START_C, fire.lit_ms];
  return fire.stretches.map((one, n) => {
    const found = stretch(n + 1, one, one.to_c < before, fire.stretches[n + 1], readings, since);
    [before, since] = [one.to_c, found.doneMs];
    return found;
  });
}

/** The stretch that a burning fire is in; null before it is lit, once it is out, and after the last. */
export function stretchNow(fire, readings) {
  if (fire.lit_ms === null || fire.off_ms !== null) return null;
  return stretches(fire, readings).find((one) => one.doneMs === null) ?? null;
}

/** The air that a stretch asks for where it is another than before it, until that is noted; else null. */
export function airToChange(fire, now) {
  const before = fire.stretches.slice(0, now.number - 1).map((one) => one.air);
  const was = before.filter((air) => air !== "unknown").at(-1);
  if (now.air === "unknown" || was === undefined || was === now.air || now.sinceMs === null) return null;
  const [value, ms] = fire.noted.air ?? [null, -Infinity];
  return ms >= now.sinceMs && value === now.air ? null : now.air;
}

/** What a burning fire is climbing to, as { toC, sinceMs }; null while it holds as planned or is to fall. */
export function aimNow(fire, readings) {
  const now = stretchNow(fire, readings);
  if (!now || now.falls || now.thereMs !== null) return null;
  const plan = fire.stretches;
  let last = now.number - 1;
  let first = last;
  while (plan[last].hold_min <= 0 && last + 1 < plan.length && plan[last + 1].to_c > plan[last].to_c) last += 1;
  while (first > 0 && plan[first - 1].hold_min <= 0) first -= 1;
  return { toC: plan[last].to_c, sinceMs: first > 0 ? stretches(fire, readings)[first].sinceMs : null };
}

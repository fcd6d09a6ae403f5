// For how long a furnace has not risen, or since when it has fallen. Twin of bench/science/standstill.py, where each limit
// is explained; one vector file proves both. Readings are [minute, °C] in the order of time.

import { WINDOW, errorOf, lineOver, noiseOf, ofThree } from "./slope_line.js";

const FEWEST = 4;
const AFTER_MIN = 25;
const USEFUL_MIN = 60;
const FROM_C = 100;
const GIVE = { c: 3, noises: 1.5 };
const RISE = { c: 3, noises: 0.5 };
const ONE_SIDED = 1.65;
const NEWEST = { minutes: 8, readings: 3 };

function climbsTo(readings, now, target, noise) {
  const last = readings.length - 1;
  const newest = lineOver(readings, last, WINDOW.minutes, FEWEST);
  const latest = lineOver(readings, last, NEWEST.minutes, NEWEST.readings);
  if (!newest || !latest) return true;
  return now + Math.max(newest.slope, latest.slope - errorOf(latest, noise)) * USEFUL_MIN >= target;
}

function fallen(readings, top, now, give) {
  const minutes = readings.at(-1)[0] - readings[top - 1][0];
  const then = ofThree(readings, top);
  return minutes < AFTER_MIN ? null : { minutes, then, now, give, fell: then - now };
}

function standing(readings, target, now, give, noise) {
  const last = readings.length - 1;
  for (let each = 2; each <= last; each += 1) {
    const since = readings[each - 2][1] >= now - give ? each - 2 : each - 1;
    const minutes = readings[last][0] - readings[since][0];
    if (minutes < AFTER_MIN) return null;
    if (ofThree(readings, each) < now - give) continue;
    const stretch = lineOver(readings, last, minutes, FEWEST);
    if (!stretch || stretch.slope * minutes > RISE.c + RISE.noises * noise) continue;
    const rise = stretch.slope + ONE_SIDED * errorOf(stretch, Math.max(noise, stretch.scatter));
    return rise * USEFUL_MIN >= target - now ? null : { minutes, then: ofThree(readings, each), now, give, fell: 0 };
  }
  return null;
}

/** The fact at the newest reading: { minutes, then, now, give, fell } in min and °C, or null. */
export function standstill(readings, target) {
  const last = readings.length - 1;
  if (last + 1 < FEWEST) return null;
  const noise = noiseOf(readings, last);
  const give = GIVE.c + GIVE.noises * noise;
  const now = ofThree(readings, last);
  if (now + give >= target || now < FROM_C || readings.some(([, c]) => c >= target)) return null;
  if (climbsTo(readings, now, target, noise)) return null;
  let top = 2;
  for (let each = 3; each <= last; each += 1) if (ofThree(readings, each) > ofThree(readings, top)) top = each;
  if (ofThree(readings, top) - now > give) return fallen(readings, top, now, give);
  return standing(readings, target, now, give, noise);
}

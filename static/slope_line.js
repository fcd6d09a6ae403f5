// The straight line through the newest readings of a firing, and their scatter. Twin of bench/science/slope_line.py; one
// vector file proves both. Readings are [minute, °C] in the order of time.

export const WINDOW = { minutes: 20, readings: 5 };
const NOISE = { of: 15, least: 1, most: 4, usual: 2, sdOfMedian: 1.4826 };

const sum = (list) => list.reduce((all, one) => all + one, 0);

/** The line through so many minutes or readings up to `last`, whichever is longer; null with too few or no span. */
export function lineOver(readings, last, minutes = WINDOW.minutes, fewest = WINDOW.readings) {
  let start = Math.max(last - fewest + 1, 0);
  while (start > 0 && readings[start - 1][0] >= readings[last][0] - minutes) start -= 1;
  const part = readings.slice(start, last + 1);
  const count = part.length;
  if (count < fewest || part[count - 1][0] <= part[0][0]) return null;
  const mid = sum(part.map(([minute]) => minute)) / count;
  const mean = sum(part.map(([, c]) => c)) / count;
  const square = sum(part.map(([minute]) => (minute - mid) ** 2));
  const slope = sum(part.map(([minute, c]) => (minute - mid) * (c - mean))) / square;
  const left = sum(part.map(([minute, c]) => (c - mean - slope * (minute - mid)) ** 2));
  const now = mean + slope * (part[count - 1][0] - mid);
  const lowest = Math.min(...part.map(([, c]) => c));
  return { now, slope, leverage: 1 / Math.sqrt(square), scatter: Math.sqrt(left / (count - 2)), count, lowest };
}

/** The standard error of a line's slope, for a scatter of single readings. */
export const errorOf = (line, scatter) => scatter * line.leverage;

/** The scatter of one reading: its median distance from the line between its neighbours, of the newest fifteen. */
export function noiseOf(readings, last) {
  const away = [];
  for (let middle = Math.max(last - NOISE.of, 1); middle < last; middle += 1) {
    const [[before, low], [minute, c], [after, high]] = readings.slice(middle - 1, middle + 2);
    if (after <= before) continue;
    const part = (minute - before) / (after - before);
    away.push(Math.abs(c - low - part * (high - low)) / Math.sqrt(1 + part * part + (1 - part) ** 2));
  }
  if (!away.length) return NOISE.usual;
  away.sort((a, b) => a - b);
  return Math.min(Math.max(NOISE.sdOfMedian * away[Math.floor(away.length / 2)], NOISE.least), NOISE.most);
}

/** The mean of a reading and the two before it. */
export const ofThree = (readings, last) => (readings[last - 2][1] + readings[last - 1][1] + readings[last][1]) / 3;

// --- for how long a furnace has not risen, or since when it has fallen. Twin of bench/science/standstill.py ---

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

// What the slope of a firing tells: the straight line through its newest readings, for how long it has not risen, and how
// high it can still get. Twin of slope_line.py, standstill.py and slope_bound.py in bench/science/, where every limit is
// explained; one vector file proves both. Readings are [minute, °C] in the order of time.

const WINDOW = { minutes: 20, readings: 5 };
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
const errorOf = (line, scatter) => scatter * line.leverage;

/** The scatter of one reading: its median distance from the line between its neighbours, of the newest fifteen. */
function noiseOf(readings, last) {
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
const ofThree = (readings, last) => (readings[last - 2][1] + readings[last - 1][1] + readings[last][1]) / 3;

// --- for how long a furnace has not risen, or since when it has fallen. ---

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

// --- how high it can still get, judged by the slope alone, and when that makes a stall ---

const FIRST = 8;
const RUNNING = { readings: 4, minutes: 15 };
const SLOWEST_TAU_MIN = 180;
const RADIANT = 0.8;
const SHORT = 0.98;
const WINDOWS = [20, 30, 45, 60, 90];
const ERRORS = 2.5;
const KELVIN = 273.15;
const DOSE = { fromC: 100, dry: 60_000 };
const CARBONATE = { fromC: 780, toC: 950, standsMin: 90, leastMin: 10, lookBackMin: 300, noise: 2 };
const DENT = { minutes: 45, c: 3, noises: 2 };
const STEADY = { part: 0.9, errors: 4, overMin: 120, withinMin: 1200 };
const LATEST = { minutes: 8, readings: 3 };

/** The time constant that joins slope and remaining rise at `c`, for `tau` at the target. */
function longestTau(c, target, tau) {
  const [now, end] = [c + KELVIN, target + KELVIN];
  return now >= end ? tau : tau / (1 - RADIANT + (RADIANT * (end * end + now * now) * (end + now)) / (4 * end ** 3));
}

/** At each reading the °C·min over 100 °C since the first one. */
function heatDoses(readings) {
  const over = (c) => Math.max(c - DOSE.fromC, 0);
  let all = 0;
  return readings.map(([minute, c], n) => {
    if (n) all += ((over(readings[n - 1][1]) + over(c)) / 2) * (minute - readings[n - 1][0]);
    return all;
  });
}

/** The newest three lie below what was read in 45 min, and not on a straight fall: a lid or a door. */
function dipped(used, last) {
  const noise = noiseOf(used, last);
  let best = -Infinity;
  for (let each = 2; each <= last; each += 1) if (used[each][0] >= used[last][0] - DENT.minutes) best = Math.max(best, ofThree(used, each));
  if (best - ofThree(used, last) <= DENT.c + DENT.noises * noise) return false;
  const line = lineOver(used, last, DENT.minutes);
  return !(line && line.slope + 2 * errorOf(line, line.scatter) < 0 && line.scatter < 2 * noise);
}

/** The least of the bounds of all windows. A longer one counts while the curve does not speed up. */
function boundAt({ used, lines, tau }, target, last) {
  const noise = noiseOf(used, last);
  let found = Infinity;
  for (const minutes of WINDOWS) {
    const each = lineOver(used, last, minutes);
    const scatter = Math.max(noise, each.scatter);
    const rise = each.slope + ERRORS * errorOf(each, scatter);
    if (minutes > WINDOW.minutes && rise < lines[last].slope) break;
    const level = each.now + (2 * scatter) / Math.sqrt(each.count);
    found = Math.min(found, level + Math.max(rise, 0) * longestTau(level, target, tau));
  }
  return found;
}

function picksUp({ used, tau }, target, last) {
  const latest = lineOver(used, last, LATEST.minutes, LATEST.readings);
  if (!latest) return false;
  return latest.now + (latest.slope - errorOf(latest, noiseOf(used, last))) * longestTau(latest.now, target, tau) >= target;
}

const highOf = (line) => line.now + (2 * Math.max(line.scatter, CARBONATE.noise)) / Math.sqrt(line.count);

/** The bound at a reading if carbonate stood still in the curve for an hour and a half of its minutes. */
function arrestedAt({ used, lines, tau }, target, last) {
  const high = highOf(lines[last]);
  const longest = longestTau(high, target, tau);
  let found = Infinity;
  for (let earlier = last - 1; earlier >= 0; earlier -= 1) {
    const each = lines[earlier];
    const left = used[last][0] - used[earlier][0] - CARBONATE.standsMin;
    if (left > CARBONATE.lookBackMin) break;
    if (!each || left < CARBONATE.leastMin) continue;
    const rise = Math.max(high - each.now + highOf(each) - each.now, 0);
    found = Math.min(found, high + (rise / left) * longest);
  }
  return found;
}

/** Whether carbonate may hold the curve back, and the target would be possible without it. */
function arrested(known, target, last) {
  const newest = known.lines[last];
  const may = known.carbonate && target > CARBONATE.fromC && newest.now >= CARBONATE.fromC && newest.lowest < CARBONATE.toC;
  return may && arrestedAt(known, target, last) >= target;
}

/** Whether it clearly climbs, about as fast as mostly in the last two hours: a controller's ramp. */
function steady({ used, lines }, target, last) {
  const newest = lines[last];
  const error = errorOf(newest, Math.max(noiseOf(used, last), newest.scatter));
  const rise = newest.slope + 2 * error;
  if (newest.slope <= STEADY.errors * error || newest.now + rise * STEADY.withinMin < target) return false;
  const recent = lines.filter((line, n) => line && n <= last && used[n][0] >= used[last][0] - STEADY.overMin);
  const slopes = recent.map(({ slope }) => slope).sort((a, b) => a - b);
  return rise > STEADY.part * slopes[Math.floor(slopes.length / 2)];
}

/** What one reading says by itself; "below": the bound lies below, and nothing speaks against it. */
function stepOf(known, target, last) {
  const { used, lines, doses, dry } = known;
  if (last + 1 < FIRST || !lines[last]) return "too-few";
  if (boundAt(known, target, last) >= SHORT * target || picksUp(known, target, last)) return "possible";
  if (!dry && doses[last] < DOSE.dry) return "steam";
  if (dipped(used, last)) return "dipped";
  if (arrested(known, target, last)) return "carbonate";
  return steady(known, target, last) ? "steady" : "below";
}

function leadsBelow({ lines, tau }, target, last) {
  const { now, slope } = lines[last] ?? {};
  return now !== undefined && now + slope * longestTau(now, target, tau) < target;
}

/**
 * What could be said at each reading since the last change about reaching the target, and the bound of a stall.
 * `readings` are all since lighting; `carbonate` is false only where the load is known to hold none that goes late.
 */
export function track(readings, target, { tau = SLOWEST_TAU_MIN, carbonate = true, dry = false, changed = null } = {}) {
  const used = readings.filter(([minute]) => changed === null || minute >= changed);
  const lines = used.map((_, last) => lineOver(used, last));
  const doses = heatDoses(readings).slice(readings.length - used.length);
  const known = { used, lines, doses, tau, carbonate, dry };
  const calls = [];
  let [running, since, stalled, reached] = [0, 0, false, false];
  used.forEach(([minute, c], last) => {
    reached ||= c >= target;
    const step = reached ? "reached" : stepOf(known, target, last);
    running = step === "below" ? running + 1 : 0;
    if (running === 1) since = minute;
    const proved = running >= RUNNING.readings && minute - since >= RUNNING.minutes;
    const stays = stalled && leadsBelow(known, target, last) && !picksUp(known, target, last);
    stalled = !reached && (proved || stays);
    calls.push(stalled ? "stalled" : step);
  });
  const call = calls.at(-1) ?? "too-few";
  return { used, calls, call, bound: call === "stalled" ? stallBound(known, target, calls) : null };
}

/** The lowest bound of the readings on which the verdict stands. */
function stallBound(known, target, calls) {
  let first = calls.length;
  while (first > 0 && calls[first - 1] === "stalled") first -= 1;
  let found = Infinity;
  for (let last = Math.max(first - RUNNING.readings + 1, 0); last < calls.length; last += 1) {
    if (known.lines[last]) found = Math.min(found, boundAt(known, target, last));
  }
  return found;
}

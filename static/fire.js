// A firing as it stands with what waits on this phone: its readings in order, its soak, its stretches, what its probe shows.
// Twin of bench/workshop/soaking.py and stretches.py, of bench/science/leaps.py, of what bench/screens/furnace/firing_reading.py expects, and of
// bench/science/thermocouples.py; vector files prove both.

const MINUTE = 60_000;
export const BAND_C = 10;
const COLD_C = 20;
const LAG_MIN_PER_G = 0.3;

/** Minutes by which the heaviest charge lags behind its furnace, where a hold is planned. */
const lagMin = (fire) => (fire.hold_min > 0 ? (fire.heaviest_g ?? 0) * LAG_MIN_PER_G : 0);

/** Whether the hold and the lag of the load are over. */
export const isDone = (fire, soak) => soak.startMs !== null && fire.hold_min > 0 && soak.heldMin >= fire.hold_min + lagMin(fire);

// --- readings that no furnace can make ---

const LEAP = { roomC: 20, halvesMin: 3, risesCMin: { gas: 150, electric: 60, any: 150 }, slackC: 25, confirmsMin: 5, reachMin: 20, leftShare: 0.5, manyTimes: 5, leastExpectedC: 100 };

const lowestC = (c, minutes) => Math.min(c, LEAP.roomC + (c - LEAP.roomC) * 0.5 ** (Math.max(minutes, 0) / LEAP.halvesMin)) - LEAP.slackC;
const highestC = (c, minutes, fuel) => Math.max(c, LEAP.roomC) + (LEAP.risesCMin[fuel] ?? LEAP.risesCMin.any) * Math.max(minutes, 0) + LEAP.slackC;

/** Whether no furnace of this fuel reads `c` so many minutes after it read `before`. */
const leaps = (c, before, minutes, fuel) => c < lowestC(before, minutes) || c > highestC(before, minutes, fuel);

/** The hotter reading that the last one cannot have come from so soon; null where it can, or a second one confirms it. */
function fellFrom(readings) {
  const [until, c] = readings.at(-1) ?? [0, null];
  let low = null;
  for (const [ms, earlier] of readings.slice(0, -1).reverse()) {
    const minutes = (until - ms) / MINUTE;
    if (minutes > LEAP.reachMin) break;
    if (c < lowestC(earlier, minutes)) return low !== null && until - low >= LEAP.confirmsMin * MINUTE ? null : [ms, earlier];
    low = ms;
  }
  return null;
}

/** What hot ware is judged by: the last reading, or what it fell from while nothing confirms it. */
export const provedC = (readings) => (fellFrom(readings) ?? readings.at(-1))?.[1] ?? null;

/** Whether no furnace reads `c` at `ms`, after these; one that comes back to what a sudden fall came from is none. */
export function leapsAfter(readings, ms, c, fuel) {
  if (!readings.length) return false;
  const far = ([then, before]) => leaps(c, before, (ms - then) / MINUTE, fuel);
  const hot = fellFrom(readings);
  return far(readings.at(-1)) && !(hot && !far(hot));
}

/** Whether a reading of a fire that burns by its plan looks like a digit left out, or one too many. */
export function slips(c, before, planned) {
  const [low, high] = [Math.min(before, planned), Math.max(before, planned, LEAP.leastExpectedC)];
  return (c < LEAP.roomC + LEAP.leftShare * (low - LEAP.roomC) && c < low - LEAP.slackC) || c > LEAP.manyTimes * high;
}

/** What the plan has a fire that burns at now; null after its end, or while it does not burn. */
export function plannedNowC({ plan, lit_ms: lit, off_ms: off }, ms) {
  const minute = (ms - lit) / MINUTE;
  return lit === null || off !== null || !plan?.length || minute > plan.at(-1)[0] ? null : plannedC(plan, minute);
}

/** Known and waiting readings as [ms, °C], by the time when they were taken. */
export const inOrder = (known, waiting) => [...known, ...waiting].sort((a, b) => a[0] - b[0]);

/** Minutes at or above a temperature, straight between the readings. */
function minutesAbove(readings, c) {
  let minutes = 0;
  for (let n = 1; n < readings.length; n += 1) {
    const [[from, a], [to, b]] = [readings[n - 1], readings[n]];
    const [low, high] = [Math.min(a, b), Math.max(a, b)];
    const share = high < c ? 0 : low >= c ? 1 : (high - c) / (high - low);
    minutes += ((to - from) / MINUTE) * share;
  }
  return minutes;
}

/** The first reading that holds in the soak's band: one alone, with the next below it, is a flicker and no soak. */
function soakStart(readings, low) {
  const at = readings.findIndex(([, c], n) => c >= low && (n + 1 >= readings.length || readings[n + 1][1] >= low));
  return at < 0 ? null : readings[at][0];
}

/**
 * What the readings say: the last one, and the soak. fire: {to_c, hold_min, heaviest_g, lit_ms, off_ms}.
 * `endsMs` is when hold and lag are over if it goes on holding; null before the soak, under the band, and after the fire.
 */
export function soaking(fire, readings) {
  const last = readings.at(-1) ?? null;
  const low = fire.to_c - BAND_C;
  const startMs = soakStart(readings, low);
  const until = fire.off_ms ?? Infinity;
  const part = startMs === null ? [] : readings.filter(([ms]) => ms >= startMs && ms <= until);
  const heldMin = minutesAbove(part, low);
  const holds = startMs !== null && last[1] >= low;
  const runs = holds && fire.hold_min > 0 && fire.lit_ms !== null && fire.off_ms === null;
  const left = Math.max(0, fire.hold_min + lagMin(fire) - heldMin);
  return { last, startMs, heldMin, holds, endsMs: runs ? last[0] + left * MINUTE : null };
}

/** Readings as [minute since lighting or the first one, °C]. */
export function sinceLit(fire, readings) {
  const from = fire.lit_ms ?? readings[0]?.[0] ?? 0;
  return readings.map(([ms, c]) => [(ms - from) / MINUTE, c]);
}

// --- which stretch of its schedule it is in, how long it held, and which air is to be in it ---

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
  let [before, since] = [COLD_C, fire.lit_ms];
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

// --- what the probe shows next ---

const NEXT = { cooledMin: 240, longestMin: 20, slowing: 0.85, leastSlowing: 0.4, heldMin: 10 };

function plannedC(plan, minute) {
  const at = plan.findIndex(([from], n) => from <= minute && n + 1 < plan.length && minute < plan[n + 1][0]);
  if (at < 0) return plan.at(-1)[1];
  const [[from, low], [to, high]] = plan.slice(at, at + 2);
  return low + ((high - low) * (minute - from)) / (to - from);
}

/** The newest slope in °C a minute and the one before it, between readings a minute or more apart. */
function slopesOf(readings) {
  const points = readings.slice(-1);
  for (const one of readings.slice(-600).reverse()) if (points.length < 3 && points.at(-1)[0] - one[0] >= MINUTE) points.push(one);
  return points.slice(1).map(([ms, c], n) => ((points[n][1] - c) * MINUTE) / (points[n][0] - ms));
}

/** Whether the fire holds: near what the plan holds, or level for a while. */
function isLevel({ stretches, readings }, c) {
  if ((stretches ?? []).some((one) => one.hold_min > 0 && Math.abs(c - one.to_c) <= BAND_C)) return true;
  const newest = readings.slice(-3);
  const read = newest.map(([, one]) => one);
  return newest.length === 3 && newest[2][0] - newest[0][0] >= NEXT.heldMin * MINUTE && Math.max(...read) - Math.min(...read) <= BAND_C;
}

/** About what the probe shows now: {c, near}; `near` is false where nothing was read that it could go on from. */
export function expectedC(fire, nowMs) {
  const last = fire.readings.at(-1);
  const burns = fire.lit_ms !== null && fire.off_ms === null;
  if (!last) return fire.lit_ms === null ? { c: COLD_C, near: true } : { c: plannedC(fire.plan, (nowMs - fire.lit_ms) / MINUTE), near: false };
  const sinceMin = (nowMs - last[0]) / MINUTE;
  if (!burns && sinceMin > NEXT.cooledMin) return { c: COLD_C, near: false };
  const slopes = slopesOf(fire.readings);
  if (!slopes.length || sinceMin < 1 || !burns || isLevel(fire, last[1])) return { c: last[1], near: true };
  const bends = slopes.length > 1 && slopes[1] > 0 ? slopes[0] / slopes[1] : NEXT.slowing;
  const rise = Math.min(Math.max(bends, NEXT.leastSlowing), 1) * slopes[0] * Math.min(sinceMin, NEXT.longestMin);
  return { c: Math.max(COLD_C, last[1] + rise), near: true };
}

// --- degrees from a thermocouple's millivolts, by the reference function that the laptop told of the furnace's probe ---

function referenceMv(pieces, c) {
  const [, , powers, bump] = pieces.find(([, to]) => c <= to) ?? pieces.at(-1);
  const mv = powers.reduceRight((sum, power) => sum * c + power, 0);
  return bump ? mv + bump[0] * Math.exp(bump[1] * (c - bump[2]) ** 2) : mv;
}

/** °C of the tip, from the meter's millivolts and its clamps at `cold` °C; null outside the published range. */
export function celsius({ pieces, readable_c: lowest, rounding_mv: rounding }, mv, cold) {
  const [from, to] = [pieces[0][0], pieces.at(-1)[1]];
  if (cold < from || cold > to) return null;
  const total = mv + referenceMv(pieces, cold);
  let [low, high] = [lowest, to];
  if (total < referenceMv(pieces, low) - rounding || total > referenceMv(pieces, high) + rounding) return null;
  for (let n = 0; n < 60; n += 1) {
    const middle = (low + high) / 2;
    if (referenceMv(pieces, middle) < total) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

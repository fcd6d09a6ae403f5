// How high a furnace can still get, judged by its slope alone. Twin of bench/science/slope_line.py and slope_bound.py,
// where the rule is explained; one vector file proves both. Readings are [minute, °C] in the order of time.

const FIRST = 8;
const RUNNING = 3;
export const SLOWEST_TAU_MIN = 120;
const WINDOW = { minutes: 20, readings: 5, noise: 2 };
const STEAM = { belowC: 150, forMin: 120 };
const CARBONATE = { fromC: 780, toC: 950, standsMin: 30, leastMin: 10, lookBackMin: 300 };
const BEND = { errors: 2.5, part: 0.85, forMin: 60 };
const STEADY = { part: 0.9, errors: 4, overMin: 120, withinMin: 1200 };

const sum = (list) => list.reduce((all, one) => all + one, 0);

/** The straight line through the window that ends at a reading; null with too few readings or no span. */
export function lineAt(readings, last) {
  let start = Math.max(last - WINDOW.readings + 1, 0);
  while (start > 0 && readings[start - 1][0] >= readings[last][0] - WINDOW.minutes) start -= 1;
  const window = readings.slice(start, last + 1);
  const count = window.length;
  const span = window[count - 1][0] - window[0][0];
  if (count < WINDOW.readings || span <= 0) return null;
  const mid = sum(window.map(([minute]) => minute)) / count;
  const mean = sum(window.map(([, c]) => c)) / count;
  const square = sum(window.map(([minute]) => (minute - mid) ** 2));
  const slope = sum(window.map(([minute, c]) => (minute - mid) * (c - mean))) / square;
  const left = sum(window.map(([minute, c]) => (c - mean - slope * (minute - mid)) ** 2));
  const scatter = Math.max(Math.sqrt(left / (count - 2)), WINDOW.noise);
  const leverage = 1 / Math.sqrt(square);
  const now = mean + slope * (window[count - 1][0] - mid);
  return { mid, now, slope, leverage, scatter, count, span, error: scatter * leverage, lowest: Math.min(...window.map(([, c]) => c)) };
}

/** The highest that can still come, in °C, with two standard errors allowed on slope and level. */
export const boundOf = (line, tau) => line.now + Math.max(line.slope + 2 * line.error, 0) * tau + (2 * line.scatter) / Math.sqrt(line.count);

const promiseOf = (line, tau) => line.now + (line.slope - 2 * line.error) * tau;

function breaksOff(first, middle, newest, noise) {
  const falls = first.slope >= middle.slope && middle.slope > 0;
  if (!falls || !(newest.mid > middle.mid && middle.mid > first.mid)) return false;
  const ahead = (newest.mid - middle.mid) / (middle.mid - first.mid);
  const least = BEND.part * middle.slope * (middle.slope / first.slope) ** ahead;
  const ofMiddle = ((1 + ahead) * middle.leverage) / middle.slope;
  const ofFirst = (ahead * first.leverage) / first.slope;
  const error = noise * Math.sqrt((least * ofMiddle) ** 2 + (least * ofFirst) ** 2 + newest.leverage ** 2);
  return least - newest.slope > BEND.errors * error;
}

function bendsOf(readings, lines) {
  const before = (last, minutes) => {
    let earlier = last;
    while (earlier >= 0 && readings[earlier][0] > readings[last][0] - minutes) earlier -= 1;
    return earlier >= 0 ? lines[earlier] : null;
  };
  const found = [];
  let noise = Infinity;
  lines.forEach((line, last) => {
    if (!line) return;
    noise = Math.min(noise, line.scatter);
    for (const lag of [line.span / 2, line.span]) {
      const middle = before(last, lag);
      const first = before(last, 2 * lag);
      if (middle && first && breaksOff(first, middle, line, noise)) found.push({ minute: readings[last][0], before: first });
    }
  });
  return found;
}

/** What one reading says by itself; "not-yet-three": the bound lies below, and nothing speaks against it. */
function stepOf({ readings, lines, bends, carbonate }, target, last, tau) {
  const now = lines[last];
  if (boundOf(now, tau) >= target) return "possible";
  const minute = readings[last][0];
  if (now.lowest < STEAM.belowC && STEAM.belowC < target && minute - readings[0][0] <= STEAM.forMin) return "steam";
  if (carbonate && arrested({ readings, lines }, target, last, tau)) return "carbonate";
  const until = bends.filter((bend) => bend.minute <= minute).reverse();
  const recent = until.filter((bend) => bend.minute >= minute - BEND.forMin);
  if (recent.some((bend) => boundOf(bend.before, tau) >= target)) return "bent";
  return steady({ readings, lines }, target, last, until[0]) ? "steady" : "not-yet-three";
}

/** The bound at a reading if carbonate stood still in the curve for half an hour of its minutes. */
function arrestedAt({ readings, lines }, last, now, tau) {
  const high = now.now + (2 * now.scatter) / Math.sqrt(now.count);
  let found = Infinity;
  for (let earlier = last - 1; earlier >= 0; earlier -= 1) {
    const each = lines[earlier];
    const left = readings[last][0] - readings[earlier][0] - CARBONATE.standsMin;
    if (left > CARBONATE.lookBackMin) break;
    if (!each || left < CARBONATE.leastMin) continue;
    const rise = Math.max(high - each.now + (2 * each.scatter) / Math.sqrt(each.count), 0);
    found = Math.min(found, high + (rise / left) * tau);
  }
  return found;
}

/** Whether carbonate may hold the curve back, and the target would be possible without it. */
function arrested(known, target, last, tau) {
  const now = known.lines[last];
  if (target <= CARBONATE.fromC || now.now < CARBONATE.fromC || now.lowest >= CARBONATE.toC) return false;
  return arrestedAt(known, last, now, tau) >= target;
}

function steady({ readings, lines }, target, last, bend) {
  const now = lines[last];
  const rise = now.slope + 2 * now.error;
  if (now.slope <= STEADY.errors * now.error || now.now + rise * STEADY.withinMin < target) return false;
  const since = Math.max(readings[last][0] - STEADY.overMin, bend ? bend.minute : -Infinity);
  for (let earlier = last; earlier >= 0 && readings[earlier][0] >= since; earlier -= 1) {
    const each = lines[earlier];
    if (each && rise <= STEADY.part * (each.slope - each.error)) return false;
  }
  return true;
}

/**
 * What could be said at each reading about reaching the target, and the bound at the newest one.
 * `carbonate` is false only where the load is known to hold none.
 */
export function track(readings, target, tau = SLOWEST_TAU_MIN, carbonate = true) {
  const lines = readings.map((_, last) => lineAt(readings, last));
  const known = { readings, lines, bends: bendsOf(readings, lines), carbonate };
  const calls = [];
  let running = 0;
  let stalled = false;
  let reached = false;
  readings.forEach(([, c], last) => {
    const now = lines[last];
    reached ||= c >= target;
    if (reached) return calls.push("reached");
    if (last + 1 < FIRST || !now) return calls.push("too-few");
    const step = stepOf(known, target, last, tau);
    running = step === "not-yet-three" ? running + 1 : 0;
    stalled = running >= RUNNING || (stalled && promiseOf(now, tau) < target);
    return calls.push(stalled ? "stalled" : step);
  });
  const newest = lines.at(-1) ?? null;
  return { calls, call: calls.at(-1) ?? "too-few", bound: newest && boundOf(newest, tau), slope: newest && newest.slope };
}

// A firing as it stands with what waits on this phone: its readings in order, its soak, and the curve so far.
// Twin of bench/workshop/soaking.py for these figures; one vector file proves both.

const MINUTE = 60_000;
export const BAND_C = 10;
const LAG_MIN_PER_G = 0.3;

/** Known and waiting readings as [ms, °C], by the time when they were taken. */
export const inOrder = (known, waiting) => [...known, ...waiting].sort((a, b) => a[0] - b[0]);

/** Minutes at or above a temperature, straight between the readings. */
export function minutesAbove(readings, c) {
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
  const lagMin = fire.hold_min > 0 ? (fire.heaviest_g ?? 0) * LAG_MIN_PER_G : 0;
  const holds = startMs !== null && last[1] >= low;
  const runs = holds && fire.hold_min > 0 && fire.lit_ms !== null && fire.off_ms === null;
  const left = Math.max(0, fire.hold_min + lagMin - heldMin);
  return { last, startMs, heldMin, holds, endsMs: runs ? last[0] + left * MINUTE : null };
}

/** Readings as [minute since lighting or the first one, °C]. */
export function sinceLit(fire, readings) {
  const from = fire.lit_ms ?? readings[0]?.[0] ?? 0;
  return readings.map(([ms, c]) => [(ms - from) / MINUTE, c]);
}

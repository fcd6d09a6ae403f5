// What is wrong with a burning fire, as its readings and notes tell. Twin of bench/workshop/alarms.py, where each limit is
// explained; one vector file proves both. What only the laptop knows of a furnace and a ware was told.

import { dashed } from "./codes.js";
import { plain } from "./happened.js";
import { say, span, whole } from "./made.js";
import { BAND_C, isDone, sinceLit, soaking } from "./overlay.js";
import { lineOver } from "./slope_line.js";

const MINUTE = 60_000;
const EVERY_MIN = { climbing: 10, soaking: 5 };
const LATE = 1.5;
const OVER_C = 20;
const SLIP = { factors: [10, 0.1], near: 0.1, leapsCMin: 50 };
const HALVED_C = [[20, 300], [500, 650]];
const CO_PPM = { danger: 100, rising: 20 };
const NOISE_C = 2;

const everyMin = (soak) => (soak.startMs === null ? EVERY_MIN.climbing : EVERY_MIN.soaking);

/** When the next reading is due; null for a fire that does not burn. */
export function nextDue(fire, soak = soaking(fire, fire.readings)) {
  if (fire.lit_ms === null || fire.off_ms !== null) return null;
  return Math.max(fire.lit_ms, soak.last?.[0] ?? 0) + everyMin(soak) * MINUTE;
}

function byNotes({ noted }) {
  const [flame, co, watch] = ["flame", "co", "watch"].map((what) => noted?.[what]?.[0]);
  const ppm = co === "alarm" ? CO_PPM.danger : Number(co);
  const found = [];
  if (flame === "lost") found.push({ rule: "flame-lost", grave: true });
  if (ppm >= CO_PPM.danger) found.push({ rule: "co-reading", grave: true });
  else if (ppm >= CO_PPM.rising) found.push({ rule: "co-rising", values: { ppm } });
  if (watch === "left alone") found.push({ rule: "unattended", grave: true });
  return found;
}

/** A newest reading that is about ten times the one before, or a tenth, sooner than a furnace can bring it. */
function bySlip(readings) {
  if (readings.length < 2) return [];
  const [[from, before], [to, c]] = readings.slice(-2);
  if (before <= 0 || Math.abs(c - before) <= (SLIP.leapsCMin * (to - from)) / MINUTE) return [];
  const factor = SLIP.factors.find((one) => Math.abs(c / before / one - 1) <= SLIP.near);
  return factor ? [{ rule: factor > 1 ? "slipped-up" : "slipped-down", values: { c, before }, grave: true }] : [];
}

function byHeat(fire, load, c) {
  const found = [];
  if (c > fire.peak_c + OVER_C) found.push({ rule: "over-plan", values: { c: c - fire.peak_c }, grave: true });
  if (typeof fire.limit_c === "number" && c > fire.limit_c) found.push({ rule: "over-furnace", values: { c, limit: fire.limit_c }, grave: true });
  const over = load.filter(({ rated_c: rated }) => typeof rated === "number" && c > rated);
  return [...found, ...over.map((one) => ({ rule: "over-rating", values: { code: one.code, rated_c: one.rated_c }, grave: true }))];
}

function rampLimit([, most, halved], c) {
  return halved && HALVED_C.some(([low, high]) => low <= c && c < high) ? most / 2 : most;
}

function bySlope(fire, load, soak, c) {
  if (soak.startMs !== null) {
    const left = !soak.holds && !isDone(fire, soak);
    return left ? [{ rule: "left-soak", values: { c, low: fire.to_c - BAND_C } }] : [];
  }
  const curve = sinceLit(fire, fire.readings);
  const newest = lineOver(curve, curve.length - 1);
  if (!newest) return [];
  const error = 2 * Math.max(newest.scatter, NOISE_C) * newest.leverage;
  const found = newest.slope + error < 0 ? [{ rule: "falling", values: { rate: -newest.slope } }] : [];
  const ramps = new Map(load.filter(({ ramp }) => ramp).map(({ ramp }) => [ramp[0], ramp]));
  for (const ramp of ramps.values()) {
    const limit = rampLimit(ramp, c);
    if (newest.slope - error > limit) found.push({ rule: "too-fast", values: { rate: newest.slope, ware: ramp[0], limit } });
  }
  return found;
}

/** What is wrong now, the grave first: [{rule, values, grave}]. `load` are the charges that have not come out. */
export function alarms(fire, load, nowMs) {
  const due = nextDue(fire);
  if (due === null) return [];
  const soak = soaking(fire, fire.readings);
  const c = soak.last?.[1];
  const found = [...byNotes(fire), ...bySlip(fire.readings), ...(soak.last ? [...byHeat(fire, load, c), ...bySlope(fire, load, soak, c)] : [])];
  const every = everyMin(soak);
  const age = every + (nowMs - due) / MINUTE;
  if (age > LATE * every) found.push({ rule: "no-reading", values: { age, every } });
  return found.sort((one, other) => Number(Boolean(other.grave)) - Number(Boolean(one.grave)));
}

// --- in words ---

const SHOWN = {
  c: whole,
  before: whole,
  age: span,
  rate: (rate) => rate.toFixed(1),
  code: (code) => (code ? dashed(plain(code)) : say("a-crucible")),
};

/** An alarm in the laptop's words. */
export function alarmSaid({ rule, values = {} }) {
  const shown = Object.entries(values).map(([name, value]) => [name, SHOWN[name]?.(value) ?? value]);
  return say(`alarm-${rule}`, Object.fromEntries(shown));
}

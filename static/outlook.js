// What is said of a fire by what is known and what was read since: what is wrong with it, its climb, its stretch and its
// air, and its curve. Twin of bench/workshop/alarms.py, where each limit is explained, and of bench/screens/furnace/outlook.py,
// which says more once the laptop is in reach; one vector file proves both. What only the laptop knows of a furnace and a
// ware was told.

import { say } from "./away.js";
import { caution, plain, sends, span } from "./drawn_fields.js";
import { clock, drawn, glyph, make, whole } from "./elements.js";
import { BAND_C, aimNow, airToChange, isDone, leapsAfter, sinceLit, soaking, stretchNow } from "./fire.js";
import { dashed } from "./read.js";
import { lineOver, standstill, track } from "./slope.js";

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

/** A newest reading to which no furnace comes so soon; about ten times the one before, or a tenth, is a point that slipped. */
function bySlip({ readings, fuel }) {
  if (readings.length < 2) return [];
  const [[from, before], [to, c]] = readings.slice(-2);
  const minutes = (to - from) / MINUTE;
  const leapt = before > 0 && Math.abs(c - before) > SLIP.leapsCMin * minutes;
  const factor = leapt && SLIP.factors.find((one) => Math.abs(c / before / one - 1) <= SLIP.near);
  if (factor) return [{ rule: factor > 1 ? "slipped-up" : "slipped-down", values: { c, before }, grave: true }];
  return leapsAfter(readings.slice(0, -1), to, c, fuel) ? [{ rule: "leaps", values: { c, before, n: whole(Math.max(minutes, 1)) }, grave: true }] : [];
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
  const found = [...byNotes(fire), ...bySlip(fire), ...(soak.last ? [...byHeat(fire, load, c), ...bySlope(fire, load, soak, c)] : [])];
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
  code: (code) => (code ? dashed(code) : say("a-crucible")),
};

/** An alarm in the laptop's words. */
export function alarmSaid({ rule, values = {} }) {
  const shown = Object.entries(values).map(([name, value]) => [name, SHOWN[name]?.(value) ?? value]);
  return say(`alarm-${rule}`, Object.fromEntries(shown));
}

// --- what is to be noted of it ---

const NOTED = { any: ["flame", "lid", "gas-change", "wind"], electric: ["lid", "power"] };
const SMALL_RISE_C = 2;

// --- the stretch and its air ---

/** The stretch that the fire is in, in one line; empty where there is but one and nothing is said of its air. */
function stretchLine(fire, now) {
  if (!now || (fire.stretches.length < 2 && now.air === "unknown")) return [];
  const words = [say("stretch", { n: now.number, all: fire.stretches.length }), " ", say(now.falls ? "down-to" : "up-to", { c: now.toC })];
  if (now.holdMin > 0 && now.thereMs !== null) words.push(say("held-of", { held: span(now.heldMin), span: span(now.holdMin) }));
  else if (now.holdMin > 0) words.push(say("then-held", { span: span(now.holdMin) }));
  if (now.air !== "unknown") words.push(", ", say(`air-${now.air}`));
  return [make("p", { look: "soft", "data-stretch": String(now.number), text: `${words.join("")}.` })];
}

/** The air that this stretch asks for, with the key that notes it, as the laptop's own page has it. */
function airStrip(fire, now) {
  const air = now && airToChange(fire, now);
  if (!air) return [];
  const key = make("button", { look: "plain half", type: "submit" }, make("span", { text: say("so") }));
  const state = make("div", { look: "state" }, glyph("flag", "l"), make("p", {}, make("b", { text: say(`change-${air}`) })), key);
  return [sends(`/firing/${fire.id}/note`, { what: "air", value: air }, state)];
}

// --- the climb ---

/** The minute from which all begins anew: the last change of the burner, or the start of this climb. */
function changedMin(fire, aim) {
  const last = Math.max(fire.changed_ms ?? -Infinity, aim.sinceMs ?? -Infinity);
  return Number.isFinite(last) ? Math.max(0, (last - fire.lit_ms) / MINUTE) : null;
}

function strong({ minutes, then, now, fell }) {
  if (fell > 0) return say("fallen", { c: whole(fell), span: span(minutes) });
  const rise = whole(now) - whole(then);
  return rise > SMALL_RISE_C ? say("risen-only", { c: rise, span: span(minutes) }) : say("not-risen", { span: span(minutes) });
}

/** A note in words: what it is of, and its value. `notes` are those that can be made: [[what, words, [[value, words]]]]. */
function noteSaid(notes, what, value) {
  const [, words, values] = notes.find(([one]) => one === what) ?? [];
  const found = values?.find(([one]) => one === value);
  return found && `${words}: ${found[1]}`;
}

function noted(fire, notes) {
  const here = (NOTED[fire.fuel] ?? NOTED.any).filter((what) => fire.noted[what] && noteSaid(notes, what, fire.noted[what][0]));
  const found = here.map((what) => `${noteSaid(notes, what, fire.noted[what][0])} ${clock(fire.noted[what][1])}`);
  return found.length ? `${say("noted")} ${found.join(" · ")}` : say("nothing-noted");
}

function standing(fire, fact, aim, notes) {
  const levels = say("levels", { then: whole(fact.then), now: whole(fact.now), to: whole(aim.toC) });
  const sooty = fire.noted.flame?.[0] === "sooty" ? [caution(say("caution"), say("co-first"))] : [];
  return [
    ...sooty,
    make("p", { look: "forecast" }, make("b", { text: strong(fact) }), ` ${levels}`),
    make("p", { text: say("look-first", { c: whole(fact.now) }) }),
    make("p", { look: "soft", text: noted(fire, notes) }),
    plain(say("record-change"), `/firing/${fire.id}/note`),
    plain(say("end-firing"), `/firing/${fire.id}/off?reason=stalled`),
  ];
}

/** What can be said of a climb: paragraphs and keys; none while it holds as planned, and before the first reading. */
export function climb(fire, notes) {
  const aim = aimNow(fire, fire.readings);
  if (!aim || !fire.readings.length) return [];
  const known = { tau: fire.slowest_tau_min, carbonate: fire.carbonate ?? true, changed: changedMin(fire, aim) };
  const { used, call, bound } = track(sinceLit(fire, fire.readings), aim.toC, known);
  const fact = call === "reached" ? null : standstill(used, aim.toC);
  const name = call === "reached" || call === "stalled" ? call : "possible";
  const why = name === "reached" ? "" : say(name === "stalled" ? "stalled_why" : `why-${call}`, { c: whole(bound ?? 0) });
  const verdict = make("p", { look: "forecast" }, make("b", { text: say(name, { c: whole(aim.toC) }) }), ` ${why}`);
  return [...(fact ? standing(fire, fact, aim, notes) : []), verdict];
}

// --- all of it ---

function countdown(endsMs) {
  const ends = make("span", { "data-ends": String(endsMs) }, make("span", { look: "fig fig-m fig-span" }, make("span", { look: "figure" })));
  return make("p", { look: "countdown" }, ends, make("span", { text: `${say("soak")} ${say("ends", { clock: clock(endsMs) })}` }));
}

function holding(fire, soak) {
  if (isDone(fire, soak)) return "held";
  return soak.holds ? "holding" : "fell";
}

/** What is said of a burning fire: its soak or its climb, its stretch, and what its air is to be. */
export function outlook(fire, soak, notes) {
  if (nextDue(fire, soak) === null) return [];
  const now = stretchNow(fire, fire.readings);
  const found = airStrip(fire, now);
  if (soak.endsMs > soak.last?.[0]) found.push(countdown(soak.endsMs));
  if (soak.startMs === null) found.push(...climb(fire, notes));
  else found.push(make("p", { look: "forecast" }, make("b", { text: say(holding(fire, soak)) })));
  return [...found, ...stretchLine(fire, now), make("p", { look: "soft", text: say("watch") })];
}

// --- the curve so far against its plan, also from what still waits ---

const BOX = { width: 360, height: 230, left: 52, right: 348, top: 24, base: 196 };
const HOUR = 3_600_000;
const STEPS = [100, 200, 300];

const pathOf = (points, x, y) => points.map(([ms, c], n) => `${n ? "L" : "M"}${x(ms).toFixed(1)} ${y(c).toFixed(1)}`).join("");

/** The hours of the clock under the curve; the last one that is named says that these are hours. */
function hours(from, to, x) {
  const every = Math.ceil((to - from) / HOUR / 5);
  const all = [];
  for (let ms = Math.ceil(from / HOUR) * HOUR; ms <= to; ms += HOUR) all.push(ms);
  const named = all.filter((ms) => (ms / HOUR) % every === 0);
  const words = (ms) => `${String(new Date(ms).getHours()).padStart(2, "0")}${ms === named.at(-1) ? " h" : ""}`;
  const ticks = all.map((ms) => drawn("path", { class: "tick", d: `M${x(ms).toFixed(1)} ${BOX.base}v8` }));
  const at = (ms) => ({ class: "axis num", x: Math.min(x(ms), BOX.right - 14), y: BOX.base + 28, "text-anchor": "middle" });
  return [...ticks, ...named.map((ms) => drawn("text", at(ms), words(ms)))];
}

/** readings and plan as [ms, °C]; soak {startMs, endsMs}. Gives an SVG element. */
export function curveOf(readings, plan, soak) {
  const all = [...readings, ...plan];
  const [from, to] = [Math.min(...all.map(([ms]) => ms)), Math.max(...all.map(([ms]) => ms), ...(soak?.endsMs ? [soak.endsMs] : []))];
  const high = Math.max(...all.map(([, c]) => c), 100) * 1.11;
  const x = (ms) => BOX.left + ((BOX.right - BOX.left) * (ms - from)) / Math.max(to - from, 1);
  const y = (c) => BOX.base - ((BOX.base - BOX.top) * c) / high;
  const svg = drawn("svg", { class: "curve curve-away", viewBox: `0 0 ${BOX.width} ${BOX.height}`, role: "img", "aria-label": say("curve") });
  svg.append(drawn("text", { class: "axis", x: BOX.left - 8, y: BOX.top - 9, "text-anchor": "end" }, "°C"));
  const step = STEPS.find((one) => high / one <= 5) ?? 500;
  for (let c = step; c < high; c += step) {
    const text = drawn("text", { class: "axis num", x: BOX.left - 8, y: y(c) + 6, "text-anchor": "end" }, String(c));
    svg.append(drawn("path", { class: "grid", d: `M${BOX.left} ${y(c).toFixed(1)}H${BOX.right}` }), text);
  }
  svg.append(...hours(from, to, x));
  if (plan.length) svg.append(drawn("path", { class: "planned", d: pathOf(plan, x, y) }));
  if (readings.length > 1) svg.append(drawn("path", { class: "measured", d: pathOf(readings, x, y) }));
  svg.append(drawn("path", { class: "base", d: `M${BOX.left} ${BOX.base}H${BOX.right}` }));
  if (soak?.startMs && soak.endsMs) {
    const [start, end] = [x(soak.startMs), x(soak.endsMs)];
    svg.append(drawn("path", { class: "bracket", d: `M${start.toFixed(1)} ${BOX.top + 3}v-7H${end.toFixed(1)}v7` }));
    svg.append(drawn("text", { class: "axis", x: (start + end) / 2, y: BOX.top - 9, "text-anchor": "middle" }, say("in-soak")));
  }
  const last = readings.at(-1);
  if (last) svg.append(drawn("circle", { class: "nowdot", cx: x(last[0]).toFixed(1), cy: y(last[1]).toFixed(1), r: 7 }));
  return svg;
}

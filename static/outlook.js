// What the page of a fire says of its climb, its stretch and its air, by what is known and what was read since.
// Twin of bench/screens/furnace/outlook.py, which says more once the laptop is in reach.

import { nextDue } from "./alarms.js";
import { caution, plain, sends } from "./drawn_fields.js";
import { clock, glyph, make, say, whole } from "./made.js";
import { isDone, sinceLit } from "./overlay.js";
import { track } from "./slope_bound.js";
import { standstill } from "./standstill.js";
import { aimNow, airToChange, stretchNow } from "./stretches.js";

const MINUTE = 60_000;
const NOTED = { any: ["flame", "lid", "gas-change", "wind"], electric: ["lid", "power"] };
const SMALL_RISE_C = 2;

/** A length of time: minutes, or hours and minutes. */
export function span(minutes) {
  const [h, m] = [Math.floor(whole(minutes) / 60), whole(minutes) % 60];
  return h ? say("hours", { h, m: String(m).padStart(2, "0") }) : say("minutes", { m });
}

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
  const verdict = make("p", { look: "forecast" }, make("b", { text: say(name) }), ` ${why}`);
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

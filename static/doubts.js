// A mass or a time that can hardly be right by what this phone knows: the twin of bench/steps/doubting.py and
// bench/web/doubts.py, over the same declarations.

import { say } from "./away.js";
import { FUNCTIONS, clock, fill, holds, known, figure, valueOf } from "./facts.js";
import { whenOf } from "./happened.js";

/** A time is typed to the minute: what happened within that minute was not before it. */
const MINUTE_END_MS = 59_999;

const worth = (one, data, look) => {
  const value = one?.function ? FUNCTIONS[one.function](...one.given.map((each) => valueOf(each, data, look))) : valueOf(one ?? null, data, look);
  return known(value) ? value : null;
};

/** What is asked of a record, one a field: {name, value, say, slip}. `data` holds also `at`. */
export function doubtsOf(here, things, step, thing, data) {
  const found = {};
  for (const one of step.doubts ?? []) {
    const look = here.look(things, thing, data);
    const [value, like] = [worth(one.value ?? { f: one.name }, data, look), worth(one.like, data, look)];
    const slip = FUNCTIONS.slip(value, like);
    const own = here.look(things, thing, { ...data, figure: value, like, slip });
    if (value !== null && holds(one.when, own) === true) found[one.name] ??= { name: one.name, value, say: fill(one.say, own, here.places), slip, called: one.called };
  }
  return Object.values(found);
}

function inWords(step, { name, value, say: words, slip, called }) {
  const key = `${name}=${figure(value)}`;
  if (name === "happened") return { name, key, title: say("doubt-time", { when: clock(value - MINUTE_END_MS) }), say: words };
  const { label, unit } = step.fields.find((one) => one.name === name);
  const title = say("doubt", { value: figure(value), unit: unit ?? "", label: called ?? label });
  return { name, key, title, say: [...(slip === null ? [] : [say("doubt-slip", { n: String(slip) })]), words].join(" ") };
}

/** The questions that a form waits for: of what it would do, those that it does not say to be right. */
export function doubted(here, things, would, fields) {
  if (!would?.step) return [];
  const late = Boolean(fields.happened);
  const now = Date.now();
  const at = whenOf({ at_ms: now, tz_min: -new Date().getTimezoneOffset() }, fields) + (late ? MINUTE_END_MS : 0);
  const sure = (fields.sure ?? "").split(" ");
  const found = would.on.flatMap((thing) => doubtsOf(here, things, would.step, thing, { ...would.data, at }));
  return found.map((one) => inWords(would.step, one)).filter(({ key }) => !sure.includes(key));
}

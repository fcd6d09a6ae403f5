// The phone's half of bench/steps: conditions in three values, facts looked up, gates judged, and what a record does to
// the facts. All of it reads the declarations of /steps.json; one file of vectors holds both sides to the same answers.

// --- what the declarations cannot say as data: functions by name. Twin of bench/steps/named.py ---

export const UNKNOWN = Symbol.for("unknown");

/** Whether a value is known and is something. */
export const known = (value) => value !== UNKNOWN && value !== null && value !== undefined;

const MINUTE = 60_000;
const STEADY = { share: 0.002, g: 0.01, min: 60 };
const ROOM = { share: 0.05, g: 0.1 };
const NEAR = 0.1;
const EMPTY = { share: 0.005, g: 0.02 };

/** Rounded half away from zero by sums that both languages do alike. */
export function tidy(number, digits = 9) {
  const whole = Math.trunc(Math.abs(number) * 10 ** digits + 0.5);
  return (number < 0 ? -whole : whole) / 10 ** digits;
}

/** Whether two masses are equal within what a steady mass may drift. */
const agree = (before, after) => Math.abs(before - after) <= Math.max(STEADY.g, STEADY.share * before);

export const FUNCTIONS = {
  steady: (masses, times) => {
    if (!known(masses) || !known(times)) return known(masses) ? false : UNKNOWN;
    const early = times.slice(0, -1).findLastIndex((ms) => times.at(-1) - ms >= STEADY.min * MINUTE);
    return early >= 0 && masses.slice(early, -1).every((one) => agree(one, masses.at(-1)));
  },
  again_ms: (masses, times) => {
    if (!known(masses) || !known(times)) return UNKNOWN;
    const first = masses.findLastIndex((one) => !agree(one, masses.at(-1))) + 1;
    return first < masses.length ? times[first] + STEADY.min * MINUTE : null;
  },
  most: (mass, share = 1) => (known(mass) && known(share) ? mass * share * (1 + ROOM.share) + ROOM.g : UNKNOWN),
  slip: (value, like) => {
    if (!known(value) || !known(like) || value <= 0 || like <= 0) return null;
    return [10, 0.1, 100, 0.01, 1000, 0.001].find((times) => Math.abs(value / like / times - 1) <= NEAR) ?? null;
  },
  plus: (...many) => (many.every(known) ? many.reduce((sum, one) => sum + one, 0) : UNKNOWN),
  less: (whole, part) => (known(whole) && known(part) ? whole - part : UNKNOWN),
  either: (...many) => many.find(known) ?? UNKNOWN,
  last: (many) => (known(many) && many.length ? many.at(-1) : UNKNOWN),
  minus: (first, ...rest) => (known(first) ? first - rest.reduce((sum, one) => sum + (known(one) ? one : 0), 0) : UNKNOWN),
  given: (one) => one,
  other: (kind, name) => (kind === "other" ? name : kind),
  is_little: (left, of) => (known(left) && known(of) ? left <= Math.max(EMPTY.g, EMPTY.share * of) : UNKNOWN),
  total: (rows, key) => (!known(rows) ? UNKNOWN : rows.reduce((sum, row) => sum + (row[key] || 0), 0)),
  open_rows: (rows, key, name) => (rows === UNKNOWN ? UNKNOWN : rows.filter((row) => (row[key] ?? null) === null).map((row) => row[name])),
  first: (many) => (known(many) && many.length ? many[0] : UNKNOWN),
  by_sort: (sort, ...pairs) => {
    const at = pairs.findIndex((one, n) => n % 2 === 0 && one === sort);
    return at < 0 ? UNKNOWN : pairs[at + 1];
  },
  minutes: (since, till) => (known(since) && known(till) ? Math.max(0, (till - since) / MINUTE) : UNKNOWN),
  size: (many) => (known(many) ? many.length : UNKNOWN),
};

const isNumber = (one) => typeof one === "number";

// --- conditions: true, false, or null where something is not known ---

const alike = (left, right) => (Array.isArray(left) ? left.some((one) => alike(one, right)) : left === right);

function isOneOf(left, rights, wanted) {
  if (rights.some((one) => one !== UNKNOWN && alike(left, one))) return wanted;
  return rights.includes(UNKNOWN) ? null : !wanted;
}

function compares(op, left, right) {
  if (left === null || right === null) return false;
  if (!isNumber(left) || !isNumber(right)) return null;
  return { "<": left < right, "<=": left <= right, ">": left > right, ">=": left >= right }[op];
}

export function holds([op, first, ...rest], look) {
  if (op === "&" || op === "|") {
    const answers = [first, ...rest].map((part) => holds(part, look));
    if (answers.includes(op === "|")) return op === "|";
    return answers.includes(null) ? null : op === "&";
  }
  if (op === "!") {
    const inner = holds(first, look);
    return inner === null ? null : !inner;
  }
  const left = look(first);
  if (op === "?") return known(left);
  if (left === UNKNOWN) return null;
  const rights = rest.map((one) => (one !== null && typeof one === "object" ? look(one.t) : one));
  return op === "=" || op === "!=" ? isOneOf(left, rights, op === "=") : compares(op, left, rights[0]);
}

// --- names looked up ---

const own = (of, name) => (of && Object.hasOwn(of, name) && of[name] !== undefined ? of[name] : UNKNOWN);
const given = (data, name) => (own(data, name) === null ? UNKNOWN : own(data, name));

/** The declarations: steps by verb, and the sorts of things with what is worked out of their facts. */
export class House {
  constructor({ steps, things }, places = null) {
    this.places = places; // decimals of the bench's balance
    this.steps = new Map(steps.map((one) => [one.verb, one]));
    this.sorts = Object.fromEntries(things.map((one) => [one.sort, one]));
  }

  /** A function from a name to its value or UNKNOWN, for a step on a thing with these fields. */
  look(things, thing, data, row = {}, made = "") {
    return (path) => {
      const [first, ...rest] = path.split(".");
      if (!rest.length) return given(data, first);
      if (first === "row") return rest.length === 1 ? given(row, rest[0]) : this.fact(things, given(row, rest[0]), rest.slice(1));
      const here = own(things, thing) === UNKNOWN ? null : things[thing];
      const named = first === "made" ? made : here && (first === "this" || first === here.sort) ? thing : given(data, first);
      return this.fact(things, named, rest);
    };
  }

  /** A fact of a thing, worked out where it is derived; a reference is followed. */
  fact(things, thing, [name, ...rest]) {
    const facts = typeof thing === "string" ? own(things, thing) : UNKNOWN;
    if (facts === UNKNOWN) return UNKNOWN;
    const found = own(facts, name) === UNKNOWN ? this.derived(things, thing, name) : facts[name];
    return rest.length ? this.fact(things, found, rest) : found;
  }

  derived(things, thing, name) {
    const how = own(this.sorts[things[thing].sort]?.derived, name);
    if (how === UNKNOWN) return UNKNOWN;
    const [called, ...args] = how;
    if (Object.hasOwn(FUNCTIONS, called)) return FUNCTIONS[called](...args.map((one) => (typeof one === "string" && one.startsWith(".") ? this.fact(things, thing, [one.slice(1)]) : one)));
    return holds(how, this.look(things, thing, {})) ?? UNKNOWN;
  }

  /** The steps for which it is surely time, in the order of the declarations, each with its title. */
  due(things, thing, optional = false) {
    const look = this.look(things, thing, {});
    const found = [];
    for (const step of this.steps.values()) {
      if (!step.on.includes(things[thing].sort) || Boolean(step.optional) !== optional) continue;
      const one = (step.due ?? []).find(({ when }) => holds(when, look) === true);
      if (one) found.push({ step, title: one.title || step.title });
    }
    return found;
  }

  /** The sentences about a thing that are so. */
  says(things, thing) {
    const look = this.look(things, thing, {});
    const shown = ({ when, unless }) => (!when || holds(when, look) === true) && (!unless || holds(unless, look) !== true);
    return (this.sorts[things[thing].sort]?.says ?? []).filter(shown).map(({ text, look: how }) => ({ text: fill(text, look, this.places), look: how ?? "line" }));
  }
}

/** What a value of a declaration comes to: itself, a field of the record, or a fact; null where it is not known. */
export function valueOf(one, data, look, row = {}) {
  if (Array.isArray(one)) return one.map((inner) => valueOf(inner, data, look, row));
  if (one === null || typeof one !== "object") return one;
  if ("t" in one) return look(one.t) === UNKNOWN ? null : look(one.t);
  if (!("f" in one)) return one;
  return (one.f.startsWith("row.") ? row[one.f.slice(4)] : data[one.f]) ?? null;
}

// --- gates ---

const GRAVITY = ["refuse", "block", "flag"];

/** What stands against a step, the heaviest first; `sure` is false where something that is not known counted as the worse. */
export function against(step, look) {
  const found = [];
  for (const { rule, effect, say, when, sure } of step.gates ?? []) {
    const answer = holds(when, look);
    if (answer === true || (answer === null && !sure)) found.push({ rule, effect, say: fill(say, look), sure: answer === true });
  }
  return found.sort((one, other) => GRAVITY.indexOf(one.effect) - GRAVITY.indexOf(other.effect));
}

// --- what a record does to the facts ---

function target(where, things, { thing, made, data, row }) {
  const here = own(things, thing) === UNKNOWN ? null : things[thing];
  if (here && (where === "this" || where === here.sort)) return here;
  if (where === "made") return things[made];
  return things[String(where.startsWith("row.") ? row?.[where.slice(4)] : data[where])];
}

function change({ op, path, value: what }, things, told, value) {
  const cut = path.lastIndexOf(".");
  const [place, name] = [target(path.slice(0, cut), things, told), path.slice(cut + 1)];
  const found = value(what ?? null);
  if (!place || (op !== "set" && found === null)) return;
  if (op === "set") place[name] = structuredClone(found);
  else if (op === "add") place[name] = (place[name] || 0) + found;
  else place[name] = [...(place[name] ?? []), ...(op === "append" ? [found] : found.filter((one) => !(place[name] ?? []).includes(one)))];
}

function effect(house, one, things, told) {
  const look = house.look(things, told.thing, told.data, told.row, told.made);
  if (one.when && holds(one.when, look) !== true) return;
  const value = (what) => valueOf(what, { ...told.data, id: told.made, at: told.at_ms }, look, told.row);
  if (one.op === "each") {
    for (const row of told.data[one.path] ?? []) for (const inner of one.value) effect(house, inner, things, { ...told, row });
  } else if (one.op === "make") {
    const facts = Object.entries(one.value).map(([name, what]) => [name, value(what)]);
    things[told.made] = structuredClone({ sort: one.path, id: told.made, ...Object.fromEntries(facts) });
  } else change(one, things, told, value);
}

/** The effects of a record on the facts, in place. `told`: thing, data, at_ms, and the id of what it makes. */
export function apply(house, step, things, told) {
  for (const one of step.effects ?? []) effect(house, one, things, { row: {}, made: "", at_ms: 0, ...told });
}

// --- sentences ---

export function figure(number, digits = null) {
  if (digits === null) return figure(number, Math.abs(number) < 1e6 ? 9 : 3).replace(/0+$/, "").replace(/\.$/, "");
  const whole = Math.trunc(Math.abs(number) * 10 ** digits + 0.5 + 1e-9);
  const text = BigInt(whole).toString().padStart(digits + 1, "0");
  return (number < 0 && whole ? "-" : "") + (digits ? `${text.slice(0, -digits)}.${text.slice(-digits)}` : text);
}

/** A mass as the balance shows it; what is too little for it is told by its first digit. */
function massOf(g, places) {
  const small = Math.abs(g) > 0 && Math.abs(g) < 0.5 * 10 ** -places;
  return small && Math.abs(g) >= 1e-4 ? String(Number(g.toPrecision(1))) : g.toFixed(places);
}

/** A moment by the clock of this phone, with its date. */
export function clock(ms) {
  const two = (n) => String(n).padStart(2, "0");
  const then = new Date(ms);
  return `${then.getFullYear()}-${two(then.getMonth() + 1)}-${two(then.getDate())} ${two(then.getHours())}:${two(then.getMinutes())}`;
}

function shown(place, look, places) {
  const [name, how] = place.split(":");
  const value = look(name);
  if (!known(value)) return "–";
  if (Array.isArray(value)) return value.join(", ");
  if (how === "clock") return clock(value);
  if (how === "code") return `${value.slice(0, 5)}-${value.slice(5)}`;
  if (how === "mass" && places !== null) return massOf(value, places);
  if (isNumber(value)) return figure(value, /^\d+$/.test(how ?? "") ? Number(how) : null);
  return String(value);
}

/** A sentence with its facts put in; what is not known stands as a dash. */
export function fill(words, look, places = null) {
  const text = typeof words === "string" ? words : look(words.by) === 1 ? words.one : words.other;
  return text.replace(/\{([^}]+)\}/g, (_all, place) => shown(place, look, places));
}

// --- after an overshoot. Twin of bench/science/rescale.py: one vector file proves both ---

/**
 * Scales a batch up to its largest overshoot; without one the plan stands.
 * Both lists run over the same reagents, planned grams above 0; null is not weighed yet. Gives the factor on the batch,
 * grams of what is not weighed yet, and grams to add to what is weighed and now too little; null where nothing is to say.
 */
export function rescale(planned, weighed) {
  const factor = Math.max(1, ...planned.map((g, n) => (weighed[n] === null ? 0 : weighed[n] / g)));
  const rescaled = planned.map((g, n) => (weighed[n] === null ? factor * g : null));
  const topUp = planned.map((g, n) => {
    const missing = weighed[n] === null ? null : factor * g - weighed[n];
    return missing !== null && missing > 1e-12 * factor ? missing : null;
  });
  return { factor, rescaled, topUp };
}

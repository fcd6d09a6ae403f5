// The form of a declared step read on the phone: each field by its own reader, what is worked out, and what they need.
// Twin of bench/screens/kit/declared.py; a refusal is the sentence that the laptop says beside the field.

import { faultOf, readCode } from "./codes.js";
import { holds, valueOf } from "./facts.js";
import { FUNCTIONS, UNKNOWN, tidy } from "./named.js";
import { readNumber, stripped } from "./numbers.js";

const EMPTY = { number: "empty", whole: "empty-whole", choice: "choose", thing: "choose", code: "empty-code", text: "empty-text" };
const YES = ["1", "on", "yes", "true"];

class Refused extends Error {}

const refuse = (say, no, values = {}) => {
  throw new Refused(say(`no-${no}`, values));
};

function refuseCode(say, raw) {
  const { no, ...values } = faultOf(raw);
  return refuse(say, no, values);
}

function text(raw, { most = 4000, lines }, say) {
  const said = raw.replace(/\r\n?/g, "\n").normalize("NFC");
  if (/[\p{Cc}\p{Cs}]/u.test(lines ? said.replace(/[\n\t]/g, "") : said)) refuse(say, "control");
  const count = [...said].length;
  const grouped = (n) => String(n).replace(/\B(?=(\d{3})+$)/g, " ");
  if (count > most) refuse(say, "too-long", { n: grouped(count), most: grouped(most) });
  return said;
}

function readField(one, fields, things, required, say) {
  const kind = one.kind ?? "text";
  const raw = stripped([one.name, ...(one.alias ?? [])].map((name) => fields[name]).find((value) => value !== undefined) ?? "");
  if (kind === "flag") return YES.includes(raw.toLowerCase()) || null;
  if (!raw) return required ? refuse(say, EMPTY[kind]) : null;
  if (kind === "number" || kind === "whole") {
    const { no, value, ...values } = readNumber(raw, { low: one.low ?? 0, high: one.high ?? 1e6, unit: one.unit, whole: kind === "whole" });
    return no ? refuse(say, no, values) : value;
  }
  if (kind === "choice") return one.options.some(([value]) => value === raw) ? raw : refuse(say, "choose");
  if (kind === "thing") return things[raw]?.sort === one.of ? raw : refuse(say, "choose");
  if (kind === "code") return things[raw]?.sort === one.of ? raw : bearing(things, one.of, readCode(raw.slice(0, 64)) ?? refuseCode(say, raw.slice(0, 64)));
  return text(raw, one, say);
}

/** The thing of a sort that bears a code; the code itself where this phone knows of none. */
const bearing = (things, sort, code) => Object.values(things).find((one) => one.sort === sort && one.code === code)?.id ?? code;

/** The fields that a form asks: without those that are only recorded. */
export const asked = (step) => (step.fields ?? []).filter((one) => one.place !== "data");

const namesOf = ([op, first, ...rest]) => {
  if (["&", "|", "!"].includes(op)) return [first, ...rest].flatMap(namesOf);
  return [first, ...rest.filter((one) => one !== null && typeof one === "object").map((one) => one.t)];
};

/** {typed, data for the record, errors by field}; `say` gives the words of a name. */
export function readStep(house, things, step, thing, fields, say) {
  const [typed, errors] = [{}, {}];
  const look = house.look(things, thing, typed);
  for (const one of [...asked(step), ...(step.old ?? [])]) {
    const idle = Boolean(one.when) && holds(one.when, look) === false;
    try {
      const value = readField(one, fields, things, one.required !== false && !idle, say);
      if (value !== null && value !== undefined) typed[one.name] = value;
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      errors[one.name] = error.message;
    }
  }
  const data = dataOf(house, things, step, thing, typed);
  for (const { name, say: words, when } of step.needs ?? []) {
    const free = ![name, ...namesOf(when)].some((one) => Object.hasOwn(errors, one));
    if (free && holds(when, look) === true) errors[name] = words;
  }
  return { typed, data, errors };
}

function dataOf(house, things, step, thing, typed) {
  const recorded = [...(step.fields ?? []).filter((one) => one.place !== "form"), ...(step.old ?? [])];
  const kept = new Set(recorded.map((one) => one.name));
  const found = Object.fromEntries(Object.entries(typed).filter(([name]) => kept.has(name)));
  const look = house.look(things, thing, typed);
  for (const { name, function: called, given } of step.work_out ?? []) {
    const value = FUNCTIONS[called](...given.map((one) => valueOf(one, typed, look)));
    if (value !== UNKNOWN && value !== null && value !== undefined) found[name] = typeof value === "number" ? tidy(value) : value;
  }
  const starts = recorded.filter((one) => one.kind !== "flag" && one.default !== undefined && one.default !== null).map((one) => [one.name, one.default]);
  return { ...Object.fromEntries(starts), ...found };
}


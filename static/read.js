// What was typed, read as the laptop reads it: codes, numbers, and the form of a declared step. A refusal is the name of
// its sentence and its values, or the sentence that the laptop says beside the field.

import { FUNCTIONS, UNKNOWN, holds, tidy, valueOf } from "./facts.js";

// --- codes on tags: five characters and a check character by ISO/IEC 7064, MOD 37-2 ---

const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const VALUES = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

/** The check character of five digits and capital letters; may be `*`. */
export function checkCharacter(body) {
  let total = 0;
  for (const char of body) total = ((total + VALUES.indexOf(char)) * 2) % 37;
  return VALUES[(((1 - total) % 37) + 37) % 37];
}

/** In capitals without its dash. */
export const bare = (text) => (text ?? "").toUpperCase().replace(/[ \-\u2010\u2011\u2013\t]/g, "");

/** The code in capitals without its dash, or null where this cannot be a code of ours. */
export function readCode(text) {
  const code = bare(text);
  if (code.length !== 6 || [...code].some((char) => !ALPHABET.includes(char))) return null;
  return checkCharacter(code.slice(0, 5)) === code[5] ? code : null;
}

/** Whether a symbol holds another bench's recipe, of any packing. */
export const isRecipe = (text) => /^SAGGAR\d{1,4}:/.test(text);

/** As it is read out: five characters, a dash, and the last one. */
export function dashed(text) {
  const code = bare(text);
  return `${code.slice(0, 5)}-${code[5]}`;
}

/** What is wrong with a code before its check character is asked: the name of its sentence, and what stands in it. */
export function faultOf(text) {
  const code = bare(text);
  for (const char of code) {
    const meant = { I: "1", L: "1", O: "0" }[char];
    if ("ILOU".includes(char)) return { no: meant ? "code-meant" : "code-letter", char, meant };
    if (!ALPHABET.includes(char)) return { no: "code-char", char };
  }
  const n = [...code].length;
  return n === 6 ? { no: "code" } : { no: "code-length", size: 6, n };
}

/** What is wrong with what readCode does not take, in one of two sentences. */
export function slip(text, { short, wrong }) {
  const count = [...bare(text)].length;
  return count === 6 ? wrong : short.replace("{n}", String(count));
}

// --- numbers: one comma alone is the decimal mark. Twin of bench/web/numbers.py; one file of vectors proves both ---

/** What Python takes for white space; JavaScript's own `trim` differs. */
const BLANK = "\\t-\\r\\x1c-\\x20\\x85\\xa0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f\\u205f\\u3000";
const ENDS = new RegExp(`^[${BLANK}]+|[${BLANK}]+$`, "g");
const INSIDE = new RegExp(`[${BLANK}]`);
const LONGEST = 20;

export const stripped = (text) => text.replace(ENDS, "");

/** A number as it is said in a sentence: no exponent, no needless zeros. */
export const shown = (value) => value.toFixed(10).replace(/0+$/, "").replace(/\.$/, "");

function twoMarks(digits) {
  const last = Math.max(digits.lastIndexOf(","), digits.lastIndexOf("."));
  const [before, after] = [digits.slice(0, last), digits.slice(last)].map((part) => part.replace(/[.,]/g, ""));
  return { no: "two-marks", so: `${before}.${after}` };
}

function refused(typed, digits, point) {
  const [commas, stops] = [",", "."].map((mark) => digits.split(mark).length - 1);
  if (/[\p{Cc}\p{Cf}\p{Cs}\p{Co}]/u.test(typed)) return { no: "invisible" };
  if ([...typed].length > LONGEST) return { no: "long" };
  if (typed.length - digits.length > 1) return { no: "minuses" };
  if (commas && stops) return twoMarks(digits);
  if (commas + stops > 1) return { no: "marks" };
  if (INSIDE.test(point) && /[0-9]/.test(point) && !/\p{L}/u.test(point)) return { no: "space" };
  if (typed.startsWith("+")) return { no: "plus" };
  if (!/^[0-9]*\.?[0-9]*$/.test(point)) return { no: "no-number", typed };
  return point === "" || point === "." ? { no: "no-digit" } : null;
}

function outside(value, { low, high, unit, whole }) {
  const tail = unit ? ` ${unit}` : "";
  if (value < low) return value < 0 && low >= 0 ? { no: "below-nothing" } : { no: "least", low: shown(low) + tail };
  if (value > high) return { no: "most", high: shown(high) + tail };
  return whole && !Number.isInteger(value) ? { no: "not-whole" } : null;
}

/** How many digits a figure has before its point; none where one that is a little off this one may have another. */
export function wholeDigits(like) {
  if (!(like > 0)) return null;
  const [low, high] = [0.8, 1.2].map((by) => String(Math.trunc(like * by)).length);
  return low === high ? low : null;
}

/** {value}, or {no: the name of the sentence that refuses it, and what stands in its braces}. */
export function readNumber(text, bounds) {
  const typed = stripped(text);
  const digits = typed.replace(/^[-\u2212\u2013]+/, "");
  const point = digits.replaceAll(",", ".");
  const found = refused(typed, digits, point);
  if (found) return found;
  const value = digits !== typed && Number(point) ? -Number(point) : Number(point);
  return outside(value, bounds) ?? { value };
}

// --- forms: each field by its own reader, what is worked out, and what they need. Twin of bench/screens/kit/declared.py ---

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

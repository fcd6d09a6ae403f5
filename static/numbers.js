// Numbers as people type them, read as the laptop reads them: one comma alone is the decimal mark. Twin of
// bench/web/numbers.py; one file of vectors proves both. A refusal is the name of its sentence and its values.

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
  if (INSIDE.test(point) && /[0-9]/.test(point)) return { no: "space" };
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

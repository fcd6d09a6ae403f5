// What the declarations of the steps cannot say as data: functions by name, written on both sides. Twin of
// bench/steps/named.py.

export const UNKNOWN = Symbol("unknown");

/** Whether a value is known and is something. */
export const known = (value) => value !== UNKNOWN && value !== null && value !== undefined;

const STEADY = { share: 0.002, g: 0.01 };
const EMPTY = { share: 0.005, g: 0.02 };

/** Rounded half away from zero by sums that both languages do alike. */
export function tidy(number, digits = 9) {
  const whole = Math.trunc(Math.abs(number) * 10 ** digits + 0.5);
  return (number < 0 ? -whole : whole) / 10 ** digits;
}

export const FUNCTIONS = {
  steady: (masses) => {
    if (masses === UNKNOWN || masses.length < 2) return masses === UNKNOWN ? UNKNOWN : false;
    const [before, after] = masses.slice(-2);
    return Math.abs(before - after) <= Math.max(STEADY.g, STEADY.share * before);
  },
  minus: (first, ...rest) => (known(first) ? first - rest.reduce((sum, one) => sum + (known(one) ? one : 0), 0) : UNKNOWN),
  given: (one) => one,
  other: (kind, name) => (kind === "other" ? name : kind),
  is_little: (left, of) => (known(left) && known(of) ? left <= Math.max(EMPTY.g, EMPTY.share * of) : UNKNOWN),
  total: (rows, key) => (rows === UNKNOWN ? UNKNOWN : rows.reduce((sum, row) => sum + (row[key] || 0), 0)),
  open_rows: (rows, key, name) => (rows === UNKNOWN ? UNKNOWN : rows.filter((row) => (row[key] ?? null) === null).map((row) => row[name])),
  first: (many) => (known(many) && many.length ? many[0] : UNKNOWN),
  by_sort: (sort, ...pairs) => {
    const at = pairs.findIndex((one, n) => n % 2 === 0 && one === sort);
    return at < 0 ? UNKNOWN : pairs[at + 1];
  },
  minutes: (since, till) => (known(since) && known(till) ? Math.max(0, (till - since) / 60_000) : UNKNOWN),
  size: (many) => (known(many) ? many.length : UNKNOWN),
};

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

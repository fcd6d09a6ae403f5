// What a tag of ours says, from a symbol (QR, version 1, correction H) of which most may be hidden. All but the code's own
// 33 bits is known before: any five of the 26 words that were seen whole give all the others, which then have to agree.

import { readCode } from "./read.js";

export const SIDE = 21;
const CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
const WORDS = 26;
/** Six of those characters, then blank and padding: of words 1 to 5 the code is a part, the others never differ. */
const KNOWN = [0x20, 0x30, 0, 0, 0, 0, 0, 0xec, 0x11];
const OPEN = [1, 2, 3, 4, 5];
/** So many words are tried as whole, the surest; so many must agree, and so well all modules together. By chance that
 * is one symbol in a million that is none of ours. */
const SURE = 12;
const LEAST_WORDS = 9;
const LEAST_FIT = 0.55;
const MASKS_TRIED = 3;

// The field of 256 elements by x⁸ + x⁴ + x³ + x² + 1, as powers of x.
const POWERS = new Uint8Array(510);
const LOGS = new Uint8Array(256);
for (let n = 0, at = 1; n < 255; n += 1) {
  POWERS[n] = POWERS[n + 255] = at;
  LOGS[at] = n;
  at = (at << 1) ^ (at & 128 ? 0x11d : 0);
}
const times = (a, b) => (a && b ? POWERS[LOGS[a] + LOGS[b]] : 0);
const over = (a, b) => (a ? POWERS[LOGS[a] + 255 - LOGS[b]] : 0);

const CHECKS = WORDS - KNOWN.length;
const GENERATOR = POWERS.slice(0, CHECKS).reduce(
  (poly, root) => [...poly, 0].map((one, n) => one ^ (n ? times(poly[n - 1], root) : 0)), [1]);

/** Nine words with the seventeen that check them. */
function encoded(data) {
  const rest = [...data, ...Array(CHECKS).fill(0)];
  for (let n = 0; n < data.length; n += 1) {
    const lead = rest[n];
    GENERATOR.forEach((one, at) => (rest[n + at] ^= times(one, lead)));
  }
  return [...data, ...rest.slice(data.length)];
}

const BASE = encoded(KNOWN);
/** What one bit more in each open word changes: all words are BASE and sums of these. */
const PARTS = OPEN.map((open) => encoded(KNOWN.map((_one, n) => (n === open ? 1 : 0))));

const isFixed = (x, y) => (x < 9 && (y < 9 || y > 12)) || (x > 12 && y < 9) || x === 6 || y === 6;

/** The modules of the words, bit by bit: pairs of columns from the right, up and down in turn, past the timing line. */
function path() {
  const rights = [20, 18, 16, 14, 12, 10, 8, 5, 3, 1];
  return rights.flatMap((right, column) =>
    Array.from({ length: 2 * SIDE }, (_one, n) => {
      const down = n >> 1;
      return [right - (n & 1), column % 2 ? down : SIDE - 1 - down];
    }).filter(([x, y]) => !isFixed(x, y)));
}

const PATH = path();
/** Where a mask gives 0, it turns ink into paper and paper into ink. */
const MASKS = [
  (x, y) => (x + y) % 2,
  (_x, y) => y % 2,
  (x) => x % 3,
  (x, y) => (x + y) % 3,
  (x, y) => ((y >> 1) + Math.floor(x / 3)) % 2,
  (x, y) => ((x * y) % 2) + ((x * y) % 3),
  (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2,
  (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2,
];

/** The fifteen bits that name correction H and a mask. */
function format(mask) {
  const data = (0b10 << 13) | (mask << 10);
  let rest = data;
  for (let n = 14; n >= 10; n -= 1) if ((rest >> n) & 1) rest ^= 0x537 << (n - 10);
  return (data | rest) ^ 0x5412;
}

/** Where those bits stand, from the last: about the left top corner, and shared between the two others. */
const FORMATS = [
  [[8, 0], [8, 1], [8, 2], [8, 3], [8, 4], [8, 5], [8, 7], [8, 8], [7, 8], [5, 8], [4, 8], [3, 8], [2, 8], [1, 8], [0, 8]],
  Array.from({ length: 15 }, (_one, n) => (n < 8 ? [20 - n, 8] : [8, 6 + n])),
];

/** The masks, the likeliest first. */
function masksBy(seen) {
  const fit = (mask) => {
    const one = (places) => places.reduce((sum, [x, y], n) => sum + ((format(mask) >> n) & 1 ? 1 : -1) * seen[y * SIDE + x], 0);
    return one(FORMATS[0]) + one(FORMATS[1]);
  };
  return MASKS.map((_one, mask) => ({ mask, fit: fit(mask) })).sort((a, b) => b.fit - a.fit).map(({ mask }) => mask);
}

/** The open words, if five words that were seen are right; null where they do not tell. */
function solved(words, chosen) {
  const rows = chosen.map((at) => [...PARTS.map((part) => part[at]), words[at] ^ BASE[at]]);
  for (let n = 0; n < rows.length; n += 1) {
    const lead = rows.findIndex((row, at) => at >= n && row[n]);
    if (lead < 0) return null;
    [rows[n], rows[lead]] = [rows[lead], rows[n]];
    const by = rows[n][n];
    rows[n] = rows[n].map((one) => over(one, by));
    rows.forEach((row, other) => {
      const much = row[n];
      if (other !== n && much) rows[other] = row.map((one, at) => one ^ times(much, rows[n][at]));
    });
  }
  return rows.map((row) => row[5]);
}

/** Every choice of so many of them. */
function* choices(from, count) {
  if (!count) yield [];
  for (let n = count; n <= from.length && count; n += 1)
    for (const rest of choices(from.slice(0, n - 1), count - 1)) yield [...rest, from[n - 1]];
}

/** The six characters that open words say, or "" where they say none. */
function textOf(open) {
  if (open[0] & 0xf8 || open[4] & 3) return ""; // bits that are known
  const bits = [open[0] & 7, ...open.slice(1)].reduce((all, one) => all * 256 + one, 0) / 4;
  const pairs = [2 ** 22, 2 ** 11, 1].map((place) => Math.floor(bits / place) % 2048);
  if (pairs.some((pair) => pair >= CHARACTERS.length ** 2)) return "";
  return pairs.map((pair) => CHARACTERS[Math.floor(pair / CHARACTERS.length)] + CHARACTERS[pair % CHARACTERS.length]).join("");
}

/** Whether enough of what was seen agrees with what these open words make of a symbol. */
function agrees(open, words, bits) {
  const made = BASE.map((one, at) => open.reduce((sum, much, n) => sum ^ times(much, PARTS[n][at]), one));
  const fit = bits.reduce((sum, one, n) => sum + ((made[n >> 3] << (n & 7)) & 128 ? one : -one), 0);
  const all = bits.reduce((sum, one) => sum + Math.abs(one), 0);
  return made.filter((one, at) => one === words[at]).length >= LEAST_WORDS && fit >= LEAST_FIT * all;
}

/** The code on a symbol under one mask, or null. */
function underMask(seen, mask) {
  const bits = PATH.map(([x, y]) => (MASKS[mask](x, y) ? 1 : -1) * seen[y * SIDE + x]);
  const byWord = Array.from({ length: WORDS }, (_one, at) => bits.slice(8 * at, 8 * at + 8));
  const words = byWord.map((eight) => eight.reduce((word, bit) => 2 * word + (bit > 0 ? 1 : 0), 0));
  const sure = byWord.map((eight) => Math.min(...eight.map(Math.abs)));
  for (const chosen of choices([...sure.keys()].sort((a, b) => sure[b] - sure[a]).slice(0, SURE), OPEN.length)) {
    const open = solved(words, chosen);
    const code = open && readCode(textOf(open));
    if (code && agrees(open, words, bits)) return code;
  }
  return null;
}

/** The code of a symbol by how dark each module was seen, row by row, from 1 for ink to -1; null where it cannot be told. */
export function codeOn(seen) {
  for (const mask of masksBy(seen).slice(0, MASKS_TRIED)) {
    const code = underMask(seen, mask);
    if (code) return code;
  }
  return null;
}

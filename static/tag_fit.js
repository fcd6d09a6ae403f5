// Where a tag's symbol of 17 mm lies on a picture, though a crack or a drop hides its corners from other readers: the
// three corners with their timing lines are known, and are fitted as a whole.

import { inked } from "./light.js";
import { SIDE } from "./tag_words.js";

/** How many dots a module may be wide. */
const SCALES = [2.4, 2.9, 3.5, 4.2, 5, 6];
const SPOTS = 18;
const LEAST_SPOT = 0.6;
const FITTED = 6;
/** Under this, what was found is no symbol: mere print and dirt fit by a third. */
const LEAST_FIT = 0.35;
const STEPS = [3, 2, 1, 0.5];
const AGAIN = 3;

const ring = (count, far) =>
  Array.from({ length: count }, (_one, n) => [far * Math.cos((2 * Math.PI * n) / count), far * Math.sin((2 * Math.PI * n) / count)]);
/** What is ink and what is paper about the middle of a corner, however it is turned, in modules. */
const INNER = [[0, 0], ...ring(8, 1)];
const GAP = ring(16, 2.25);

/** Dots that look like the middle of a corner at one scale: how much, where, and the scale. */
function spotsAt({ ink, width, height }, scale) {
  const offsets = (points) => points.map(([x, y]) => Math.round(y * scale) * width + Math.round(x * scale));
  const [inner, gap, edge, found] = [offsets(INNER), offsets(GAP), Math.ceil(3 * scale), []];
  for (let y = edge; y < height - edge; y += 2) {
    for (let x = edge; x < width - edge; x += 2) {
      const at = y * width + x;
      if (ink[at] < 0) continue;
      let [dark, light] = [0, 0];
      for (const one of inner) dark += ink[at + one];
      for (const one of gap) light -= ink[at + one];
      const score = dark / inner.length + light / gap.length;
      if (score > LEAST_SPOT) found.push({ score, x, y, scale });
    }
  }
  return found;
}

/** The likeliest middles of corners, none near another. */
function spotsOf(picture) {
  const kept = [];
  for (const one of SCALES.flatMap((scale) => spotsAt(picture, scale)).sort((a, b) => b.score - a.score)) {
    if (kept.every((other) => Math.hypot(one.x - other.x, one.y - other.y) > 2 * one.scale)) kept.push(one);
    if (kept.length === SPOTS) break;
  }
  return kept;
}

/** From the square of a symbol to the dots of a picture, as the eight numbers of a perspective, by its four corners. */
function lens([a, b, c, d]) {
  const [x1, x2, x3] = [b[0] - c[0], d[0] - c[0], a[0] - b[0] + c[0] - d[0]];
  const [y1, y2, y3] = [b[1] - c[1], d[1] - c[1], a[1] - b[1] + c[1] - d[1]];
  const all = x1 * y2 - x2 * y1;
  const [g, h] = [(x3 * y2 - x2 * y3) / all, (x1 * y3 - x3 * y1) / all];
  return [b[0] - a[0] + g * b[0], d[0] - a[0] + h * d[0], a[0], b[1] - a[1] + g * b[1], d[1] - a[1] + h * d[1], a[1], g, h];
}

/** The ink at a place in modules; 0 beyond the picture. */
function inkAt({ ink, width, height }, [a, b, c, d, e, f, g, h], x, y) {
  const [u, v] = [x / SIDE, y / SIDE];
  const near = 1 + g * u + h * v;
  const [left, top] = [Math.round((a * u + b * v + c) / near), Math.round((d * u + e * v + f) / near)];
  return left >= 0 && top >= 0 && left < width && top < height ? ink[top * width + left] : 0;
}

/** The modules that are the same on every symbol: [x, y, 1 for ink or -1]. */
function same() {
  const found = [];
  for (const [left, top] of [[0, 0], [SIDE - 7, 0], [0, SIDE - 7]]) {
    for (let y = -1; y < 8; y += 1) {
      for (let x = -1; x < 8; x += 1) {
        const far = Math.max(Math.abs(x - 3), Math.abs(y - 3));
        found.push([left + x + 0.5, top + y + 0.5, far !== 2 && far < 4 ? 1 : -1]);
      }
    }
  }
  for (let n = 8; n < SIDE - 8; n += 1) found.push([n + 0.5, 6.5, n % 2 ? -1 : 1], [6.5, n + 0.5, n % 2 ? -1 : 1]);
  return found;
}

const SAME = same();

/** How well a picture has those modules between four corners: 1 where all of them are there. */
function fitOf(picture, corners) {
  const by = lens(corners);
  let sum = 0;
  for (const [x, y, ink] of SAME) sum += ink * inkAt(picture, by, x, y);
  return sum / SAME.length;
}

/** The four corners of a symbol by the middles of its left top, right top and left low corner. */
function cornersBy([x, y], [rightX, rightY], [lowX, lowY]) {
  const at = (u, v) => [
    x + ((rightX - x) * (u - 3.5) + (lowX - x) * (v - 3.5)) / (SIDE - 7),
    y + ((rightY - y) * (u - 3.5) + (lowY - y) * (v - 3.5)) / (SIDE - 7),
  ];
  return [at(0, 0), at(SIDE, 0), at(SIDE, SIDE), at(0, SIDE)];
}

/** Corners by a left top spot, one 14 modules from it, and a third or none: it may be the hidden one. */
function* besides(a, b, spots) {
  const [x, y] = [b.x - a.x, b.y - a.y];
  const far = Math.hypot(x, y);
  yield cornersBy([a.x, a.y], [b.x, b.y], [a.x - y, a.y + x]);
  yield cornersBy([a.x, a.y], [a.x + y, a.y - x], [b.x, b.y]);
  for (const c of spots) {
    const long = Math.hypot(c.x - a.x, c.y - a.y) / far;
    const square = (x * (c.y - a.y) - y * (c.x - a.x)) / (far * far * long);
    if (square > 0.7 && long > 0.6 && long < 1.67) yield cornersBy([a.x, a.y], [b.x, b.y], [c.x, c.y]);
  }
}

/** Corners by a right top spot and a left low one. */
function across(a, b) {
  const [x, y] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
  return cornersBy([x - (b.y - a.y) / 2, y + (b.x - a.x) / 2], [a.x, a.y], [b.x, b.y]);
}

function* guesses(spots) {
  for (const a of spots) {
    for (const b of spots) {
      const modules = (2 * Math.hypot(b.x - a.x, b.y - a.y)) / (a.scale + b.scale);
      if (modules > 10.5 && modules < 17.5) yield* besides(a, b, spots);
      if (modules > 16 && modules < 23.5) yield across(a, b);
    }
  }
}

/** Four corners moved together, and each by itself, one step in each of four ways. */
function moved(corners, step) {
  const ways = [[step, 0], [-step, 0], [0, step], [0, -step]];
  const put = (which, [x, y]) => corners.map((one, n) => (which === n || which < 0 ? [one[0] + x, one[1] + y] : one));
  return ways.flatMap((way) => [-1, 0, 1, 2, 3].map((which) => put(which, way)));
}

/** The best fit that small moves lead to. */
function settled(picture, corners) {
  let best = { fit: fitOf(picture, corners), corners };
  for (const step of STEPS) {
    for (let again = 0; again < AGAIN; again += 1) {
      const was = best;
      for (const one of moved(was.corners, step)) {
        const fit = fitOf(picture, one);
        if (fit > best.fit) best = { fit, corners: one };
      }
      if (best === was) break;
    }
  }
  return best;
}

const apart = (a, b) => [0, 2].some((n) => Math.hypot(a.corners[n][0] - b.corners[n][0], a.corners[n][1] - b.corners[n][1]) > 4);

/** The best of many guesses, no two nearly the same. */
function likeliest(picture) {
  const tried = [...guesses(spotsOf(picture))].map((corners) => ({ fit: fitOf(picture, corners), corners })).sort((a, b) => b.fit - a.fit);
  const kept = [];
  for (const one of tried) {
    if (kept.every((other) => apart(one, other))) kept.push(one);
    if (kept.length === FITTED) break;
  }
  return kept;
}

/** How dark each module between four corners is, row by row. */
function modules(picture, corners) {
  const by = lens(corners);
  const parts = [0.3, 0.5, 0.7];
  return Array.from({ length: SIDE * SIDE }, (_one, n) => {
    let sum = 0;
    for (const v of parts) for (const u of parts) sum += inkAt(picture, by, (n % SIDE) + u, Math.floor(n / SIDE) + v);
    return sum / parts.length ** 2;
  });
}

/** The modules of each place on a sharpened picture where a symbol may lie, the likeliest first. */
export function* symbolsOn(image) {
  const picture = inked(image);
  for (const guess of likeliest(picture)) {
    const { fit, corners } = settled(picture, guess.corners);
    if (fit > LEAST_FIT) yield modules(picture, corners);
  }
}

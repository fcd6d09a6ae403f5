// The straight line through the newest readings of a firing, and their scatter. Twin of bench/science/slope_line.py; one
// vector file proves both. Readings are [minute, °C] in the order of time.

export const WINDOW = { minutes: 20, readings: 5 };
const NOISE = { of: 15, least: 1, most: 4, usual: 2, sdOfMedian: 1.4826 };

const sum = (list) => list.reduce((all, one) => all + one, 0);

/** The line through so many minutes or readings up to `last`, whichever is longer; null with too few or no span. */
export function lineOver(readings, last, minutes = WINDOW.minutes, fewest = WINDOW.readings) {
  let start = Math.max(last - fewest + 1, 0);
  while (start > 0 && readings[start - 1][0] >= readings[last][0] - minutes) start -= 1;
  const part = readings.slice(start, last + 1);
  const count = part.length;
  if (count < fewest || part[count - 1][0] <= part[0][0]) return null;
  const mid = sum(part.map(([minute]) => minute)) / count;
  const mean = sum(part.map(([, c]) => c)) / count;
  const square = sum(part.map(([minute]) => (minute - mid) ** 2));
  const slope = sum(part.map(([minute, c]) => (minute - mid) * (c - mean))) / square;
  const left = sum(part.map(([minute, c]) => (c - mean - slope * (minute - mid)) ** 2));
  const now = mean + slope * (part[count - 1][0] - mid);
  const lowest = Math.min(...part.map(([, c]) => c));
  return { now, slope, leverage: 1 / Math.sqrt(square), scatter: Math.sqrt(left / (count - 2)), count, lowest };
}

/** The standard error of a line's slope, for a scatter of single readings. */
export const errorOf = (line, scatter) => scatter * line.leverage;

/** The scatter of one reading: its median distance from the line between its neighbours, of the newest fifteen. */
export function noiseOf(readings, last) {
  const away = [];
  for (let middle = Math.max(last - NOISE.of, 1); middle < last; middle += 1) {
    const [[before, low], [minute, c], [after, high]] = readings.slice(middle - 1, middle + 2);
    if (after <= before) continue;
    const part = (minute - before) / (after - before);
    away.push(Math.abs(c - low - part * (high - low)) / Math.sqrt(1 + part * part + (1 - part) ** 2));
  }
  if (!away.length) return NOISE.usual;
  away.sort((a, b) => a - b);
  return Math.min(Math.max(NOISE.sdOfMedian * away[Math.floor(away.length / 2)], NOISE.least), NOISE.most);
}

/** The mean of a reading and the two before it. */
export const ofThree = (readings, last) => (readings[last - 2][1] + readings[last - 1][1] + readings[last][1]) / 3;

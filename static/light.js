// What a picture shows against what is about it: its edges drawn out, and its dots as ink or paper.

const REACH = 3;
const GAIN = 4;
/** So far about a dot its ground is looked for: four to eight modules of a tag. */
const ABOUT = 20;
const FULL = 1.2;
const LEAST = 6;

/** Asks for the mean of a square about a dot: x, y and how far it reaches. */
function means(light, width, height) {
  const row = width + 1;
  const sums = new Float64Array(row * (height + 1));
  for (let y = 0; y < height; y += 1) {
    let sum = 0;
    for (let x = 0; x < width; x += 1) {
      sum += light[y * width + x];
      sums[(y + 1) * row + x + 1] = sums[y * row + x + 1] + sum;
    }
  }
  return (x, y, reach) => {
    const left = Math.max(0, x - reach);
    const right = Math.min(width, x + reach + 1);
    const top = Math.max(0, y - reach) * row;
    const low = Math.min(height, y + reach + 1) * row;
    return (sums[low + right] - sums[top + right] - sums[low + left] + sums[top + left]) / (((low - top) / row) * (right - left));
  };
}

/** One number for each dot, as `say` works it out. */
function each(width, height, say) {
  const all = new Float32Array(width * height);
  for (let n = 0, y = 0; y < height; y += 1) for (let x = 0; x < width; x += 1, n += 1) all[n] = say(n, x, y);
  return all;
}

/** Makes a picture grey, and lets stand out what lies under slip or soot or out of focus. */
export function sharpen({ data, width, height }) {
  const light = each(width, height, (n) => 0.3 * data[4 * n] + 0.6 * data[4 * n + 1] + 0.1 * data[4 * n + 2]);
  const mean = means(light, width, height);
  const clear = each(width, height, (n, x, y) => light[n] + GAIN * (light[n] - mean(x, y, REACH)));
  for (let n = 0; n < clear.length; n += 1) data[4 * n] = data[4 * n + 1] = data[4 * n + 2] = clear[n];
}

/** How much each dot of a grey picture is ink (1) or paper (-1) against its ground. */
export function inked({ data, width, height }) {
  const mean = means(each(width, height, (n) => data[4 * n]), width, height);
  const apart = each(width, height, (n, x, y) => mean(x, y, ABOUT) - data[4 * n]);
  const spread = means(apart.map(Math.abs), width, height);
  const ink = each(width, height, (n, x, y) => Math.max(-1, Math.min(1, apart[n] / (FULL * Math.max(LEAST, spread(x, y, ABOUT))))));
  return { ink, width, height };
}

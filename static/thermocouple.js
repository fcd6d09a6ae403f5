// Degrees from a thermocouple's millivolts, by the reference function that the laptop told of the furnace's probe.
// Twin of bench/science/thermocouples.py; one vector file proves both.

function referenceMv(pieces, c) {
  const [, , powers, bump] = pieces.find(([, to]) => c <= to) ?? pieces.at(-1);
  const mv = powers.reduceRight((sum, power) => sum * c + power, 0);
  return bump ? mv + bump[0] * Math.exp(bump[1] * (c - bump[2]) ** 2) : mv;
}

/** °C of the tip, from the meter's millivolts and its clamps at `cold` °C; null outside the published range. */
export function celsius({ pieces, readable_c: lowest, rounding_mv: rounding }, mv, cold) {
  const [from, to] = [pieces[0][0], pieces.at(-1)[1]];
  if (cold < from || cold > to) return null;
  const total = mv + referenceMv(pieces, cold);
  let [low, high] = [lowest, to];
  if (total < referenceMv(pieces, low) - rounding || total > referenceMv(pieces, high) + rounding) return null;
  for (let n = 0; n < 60; n += 1) {
    const middle = (low + high) / 2;
    if (referenceMv(pieces, middle) < total) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

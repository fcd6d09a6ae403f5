// What to weigh after an overshoot, so that the ratio holds. Twin of bench/science/rescale.py: one vector file proves both.

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

import { type WeightingName, weightings } from './weighting';

/**
 * Power (unit²) between `from` and `to` Hz of a one-sided density in unit²/Hz, bins `binWidth` apart, weighted bin by bin. A bin
 * stands for half a bin on either side of it (the last and bin 0 for the half that exists) and counts by the part inside.
 */
export function bandPower(
  density: Float64Array,
  binWidth: number,
  from: number,
  to: number,
  weighting: WeightingName = 'flat',
): number {
  const { gain } = weightings[weighting];
  const nyquist = (density.length - 1) * binWidth;
  const first = Math.max(0, Math.round(from / binWidth));
  const last = Math.min(density.length - 1, Math.round(to / binWidth));
  let power = 0;
  for (let k = first; k <= last; k++) {
    const low = Math.max(from, (k - 0.5) * binWidth, 0);
    const high = Math.min(to, (k + 0.5) * binWidth, nyquist);
    if (high > low) power += density[k]! * (high - low) * gain(k * binWidth) ** 2;
  }
  return power;
}

import type { Broken } from './faults';
import { mahalanobis } from './linear';
import { figures, type Quick } from './quick';
import { drawSpecimen, noise, nominal } from './simulate';
import { Draw } from './world';

const samples = 160;
const channels = 3;

/** χ² by which a form's noise-free figures lie from another's, about which specimens spread and noise blurs. */
export function apart(quick: Quick, form: Broken, from: Broken): number {
  if ((form.unpowered === true) !== (from.unpowered === true)) return Number.POSITIVE_INFINITY;
  if (form.unpowered) return 0;
  const { mean, covariance } = spread(quick, from);
  const d = turned(quick.simulate(nominal, form), mean).map((value, k) => value - mean[k]!);
  return mahalanobis([...d], covariance);
}

/** How specimens spread about a form, with noise: by sampling, phases aligned. */
function spread(quick: Quick, form: Broken): { mean: Float64Array; covariance: number[][] } {
  const draw = new Draw(9);
  const mean = quick.simulate(nominal, form);
  const covariance = Array.from({ length: figures }, () => new Array<number>(figures).fill(0));
  for (let n = 0; n < samples; n++) {
    const one = turned(quick.simulate(drawSpecimen(quick.near, draw), form), mean);
    const d = one.map((value, k) => value - mean[k]!);
    for (let i = 0; i < figures; i++) for (let j = 0; j < figures; j++) covariance[i]![j]! += (d[i]! * d[j]!) / samples;
  }
  for (let from = 0; from < figures; from += 2 * channels) {
    const sizes = Array.from({ length: channels }, (_, k) => Math.hypot(mean[from + 2 * k]!, mean[from + 2 * k + 1]!));
    const floor = noise.floor ** 2 + (noise.crosstalk * Math.max(...sizes)) ** 2;
    for (const [k, size] of sizes.entries())
      for (const at of [from + 2 * k, from + 2 * k + 1]) covariance[at]![at]! += (noise.along * size) ** 2 + floor;
  }
  return { mean, covariance };
}

/** The phase of a recording is not known: each is turned onto the other before they are held together. */
function turned(seen: Float64Array, onto: Float64Array): Float64Array {
  const result = seen.slice();
  for (let from = 0; from < figures; from += 2 * channels) {
    let re = 0;
    let im = 0;
    for (let k = from; k < from + 2 * channels; k += 2) {
      re += seen[k]! * onto[k]! + seen[k + 1]! * onto[k + 1]!;
      im += seen[k]! * onto[k + 1]! - seen[k + 1]! * onto[k]!;
    }
    const length = Math.hypot(re, im);
    if (length === 0) continue;
    for (let k = from; k < from + 2 * channels; k += 2) {
      result[k] = (seen[k]! * re - seen[k + 1]! * im) / length;
      result[k + 1] = (seen[k]! * im + seen[k + 1]! * re) / length;
    }
  }
  return result;
}

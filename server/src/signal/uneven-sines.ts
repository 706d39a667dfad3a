import { solve, square } from './linear';

/** Samples at times of their own, counted in mean steps from the first. */
export interface Uneven {
  readonly times: Float64Array;
  readonly values: Float64Array;
}

/** Least squares of sines on samples wherever they lie in time; amplitudes count from the middle of the record. */
export interface UnevenSum {
  readonly offset: number;
  readonly cosine: readonly number[];
  readonly sine: readonly number[];
  /** Change of the fundamental's frequency that the samples ask for, where it was asked after; else 0. */
  readonly shift: number;
  /** RMS of what is left. */
  readonly left: number;
}

/** The middle of the record, in mean steps. */
export const middleOf = ({ times }: Uneven): number => (times[times.length - 1]! + times[0]!) / 2;

/**
 * Fits an offset and sines at the frequencies given (radians a mean step) by the normal equations, row by row, in memory that does
 * not grow. With `around`, a sum fitted before, the slope of that sum by its frequency is one column more: a step of Gauss–Newton
 * of the four-parameter fit (IEEE 1057, which asks for no even spacing), `multiples` saying how each sine follows. Null where the
 * columns cannot be told apart.
 */
export function fitUneven(
  samples: Uneven,
  omegas: readonly number[],
  around?: { readonly sum: UnevenSum; readonly multiples: readonly number[] },
): UnevenSum | null {
  const { times, values } = samples;
  const middle = middleOf(samples);
  const count = omegas.length;
  const size = 2 * count + (around ? 2 : 1);
  if (values.length < size) return null;
  const row = new Float64Array(size);
  const products = square(size, () => 0);
  const right = new Float64Array(size);
  let total = 0;
  // Scaled to about 1, so that the slope's column does not outweigh the others.
  const scale = around ? 1 / Math.max(1, times[times.length - 1]! - middle) : 0;
  for (let n = 0; n < values.length; n++) {
    const m = times[n]! - middle;
    row[0] = 1;
    let slope = 0;
    for (let k = 0; k < count; k++) {
      const [cos, sin] = [Math.cos(omegas[k]! * m), Math.sin(omegas[k]! * m)];
      row[2 * k + 1] = cos;
      row[2 * k + 2] = sin;
      if (around) slope += around.multiples[k]! * (around.sum.sine[k]! * cos - around.sum.cosine[k]! * sin);
    }
    if (around) row[size - 1] = slope * m * scale;
    const value = values[n]!;
    total += value * value;
    for (let j = 0; j < size; j++) {
      right[j]! += row[j]! * value;
      const into = products[j]!;
      for (let k = 0; k <= j; k++) into[k]! += row[j]! * row[k]!;
    }
  }
  for (let j = 0; j < size; j++) for (let k = j + 1; k < size; k++) products[j]![k] = products[k]![j]!;
  const found = solve(products, right);
  if (found === null || !found.every(Number.isFinite)) return null;
  const sum = {
    offset: found[0]!,
    cosine: omegas.map((_, k) => found[2 * k + 1]!),
    sine: omegas.map((_, k) => found[2 * k + 2]!),
    shift: around ? found[size - 1]! * scale : 0,
  };
  return { ...sum, left: total > 0 ? leftOf(samples, omegas, sum) : 0 };
}

/** RMS of the samples less the sum. */
function leftOf(samples: Uneven, omegas: readonly number[], sum: Omit<UnevenSum, 'left'>): number {
  const middle = middleOf(samples);
  let squares = 0;
  samples.values.forEach((value, n) => {
    const m = samples.times[n]! - middle;
    let left = value - sum.offset;
    omegas.forEach((omega, k) => {
      left -= sum.cosine[k]! * Math.cos(omega * m) + sum.sine[k]! * Math.sin(omega * m);
    });
    squares += left * left;
  });
  return Math.sqrt(squares / samples.values.length);
}

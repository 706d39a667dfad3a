import { wrap } from './angle';
import { type SineFit, sineBounds } from './sine-fit';
import { type Course, fitSines, frequencyStep, rmsOf, type SineSum, withoutSines } from './sines';

/** Highest harmonic counted unless asked otherwise: the 2nd to the 10th, nine of them (as TI TIDUA05B; others count 5 or 15). */
export const defaultHarmonics = 10;

/** A fundamental and its harmonics, fitted together. */
export interface HarmonicFit {
  /** The fundamental; its `residual` is all that is not it: harmonics and the rest. */
  readonly fundamental: SineFit;
  /** Squared amplitudes of the harmonics from the 2nd on. */
  readonly squared: readonly number[];
  /** What fundamental, harmonics and offset leave of the samples; null where these are not evenly spaced. */
  readonly rest: Course | null;
  /** Its RMS. */
  readonly restRms: number;
}

/**
 * Fits a fundamental and its harmonics at whole multiples of one frequency, which is fitted too. A sine fitted alone bends its
 * frequency a little to follow the harmonics, and its amplitude with it; fitted together they do not, and the record need not
 * hold whole periods.
 *
 * @param start a four-parameter fit of the fundamental alone. @param highest the highest harmonic; those within one cycle (over
 * the record) of half the rate cannot be told from their image and are left out.
 */
export function fitHarmonics(samples: Float64Array, start: SineFit, highest = defaultHarmonics): HarmonicFit | null {
  const n = samples.length;
  const top = Math.PI - (2 * Math.PI) / n;
  const multiples = [1];
  while (multiples.length < highest && (multiples.length + 1) * start.omega < top) multiples.push(multiples.length + 1);
  let { omega } = start;
  for (let turn = 0; turn < 6; turn++) {
    const step = frequencyStep(samples, omega, multiples);
    if (step === null || Math.abs(step) * n > Math.PI) break;
    omega += step;
    // Convergence is quadratic: what is left is the square of this.
    if (Math.abs(step) * n < 1e-4) break;
  }
  const sum = fitSines(
    samples,
    multiples.map((multiple) => multiple * omega),
  );
  if (sum === null) return null;
  const rest = withoutSines(samples, sum);
  const restRms = rmsOf(rest);
  const squared = sum.omegas.map((_, k) => sum.cosine[k]! ** 2 + sum.sine[k]! ** 2);
  return { fundamental: fundamentalOf(sum, squared, n, restRms), squared: squared.slice(1), rest, restRms };
}

function fundamentalOf(sum: SineSum, squared: readonly number[], frames: number, left: number): SineFit {
  const omega = sum.omegas[0]!;
  const amplitude = Math.sqrt(squared[0]!);
  const harmonics = squared.reduce((total, value, k) => (k === 0 ? total : total + value / 2), 0);
  const variance = (left * left * frames) / Math.max(1, frames - 2 * squared.length - 2);
  return {
    omega,
    amplitude,
    phase: wrap(Math.atan2(sum.cosine[0]!, sum.sine[0]!) - (omega * (frames - 1)) / 2),
    offset: sum.offset,
    residual: Math.sqrt(harmonics + left * left),
    frames,
    parameters: 4,
    sd: sineBounds(variance, amplitude, frames, 4),
  };
}

import { fourier, powerOfTwoFrom } from './fft';
import { fitSine4, type SineFit, sineBounds } from './sine-fit';
import { type Course, fitSines } from './sines';

/** Samples the frequency is first looked for in; longer records are then fitted in ever longer parts, four times a turn. */
const firstLook = 1 << 16;

/** Where to look for a tone. Frequencies in radians a sample. */
export interface ToneSearch {
  /** Near this frequency only: within 2 %, or three cycles over the first look. */
  readonly near?: number;
}

/**
 * Finds the strongest sine and fits it over the whole record with four parameters. The start comes from a Hann-windowed, twice
 * padded transform, interpolated; with few periods its mirror image pulls the peak, so neighbouring starts compete. Null where
 * nothing converges.
 */
export function findTone(samples: Float64Array, search: ToneSearch = {}): SineFit | null {
  const head = samples.subarray(0, Math.min(firstLook, samples.length));
  const start = peakOf(head, search);
  if (start === null) return null;
  const periods = (start * head.length) / (2 * Math.PI);
  const starts = periods < 6 ? [0.7, 0.85, 1, 1.15, 1.3].map((factor) => factor * start) : [start];
  const fits = starts.map((omega) => fitSine4(head, omega)).filter((fit) => fit !== null);
  if (fits.length === 0) return null;
  let best = fits.reduce((least, fit) => (fit.residual < least.residual ? fit : least));
  for (let length = head.length; length < samples.length; ) {
    length = Math.min(4 * length, samples.length);
    const longer = fitSine4(samples.subarray(0, length), best.omega);
    if (longer === null) return null;
    best = longer;
  }
  return best;
}

/** The strongest bin within the search, interpolated on the logarithm of a Hann main lobe; null where there is no power. */
function peakOf(samples: Float64Array, { near }: ToneSearch): number | null {
  const n = samples.length;
  if (n < 5) return null;
  const size = powerOfTwoFrom(2 * n);
  let mean = 0;
  for (const value of samples) mean += value / n;
  const padded = new Float64Array(size);
  for (let i = 0; i < n; i++) padded[i] = (samples[i]! - mean) * (1 - Math.cos((2 * Math.PI * (i + 0.5)) / n));
  const spectrum = fourier(size).real(padded);
  const power = (k: number) => spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2;
  const bin = (2 * Math.PI) / size;
  const reach = near === undefined ? 0 : Math.max(0.02 * near, (3 * 2 * Math.PI) / n);
  const low = Math.max(Math.floor(size / n), near === undefined ? 0 : Math.ceil((near - reach) / bin));
  const high = Math.min(size / 2 - 1, near === undefined ? size / 2 : Math.floor((near + reach) / bin));
  let best = low;
  for (let k = low + 1; k <= high; k++) if (power(k) > power(best)) best = k;
  if (low > high || !(power(best) > 0)) return null;
  const [before, at, after] = [best - 1, best, best + 1].map((k) => Math.log(Math.max(power(k), 1e-300)));
  const curve = before! - 2 * at! + after!;
  const shift = curve < 0 ? (0.5 * (before! - after!)) / curve : 0;
  return (best + Math.max(-0.5, Math.min(0.5, shift))) * bin;
}

/**
 * Variance a white noise would have that is as dense as what the fit leaves near its frequency: sines fitted two to nine cycles
 * (over the record) away on both sides, whose mean squared amplitude in white noise is 4σ²/N. Hum, harmonics and a wandering
 * clock make it differ from the residual's own variance, and it is this one that the tone's uncertainty follows.
 */
export function localVariance(residual: Course, omega: number): number | null {
  const n = residual.length;
  const cycle = (2 * Math.PI) / n;
  const around = [2, 3.5, 5, 6.5, 8, 9.5]
    .flatMap((k) => [omega - k * cycle, omega + k * cycle])
    .filter((w) => w > 1.5 * cycle && w < Math.PI - 1.5 * cycle);
  const sum = around.length < 4 ? null : fitSines(residual, around);
  if (sum === null) return null;
  const power = around.reduce((total, _, k) => total + sum.cosine[k]! ** 2 + sum.sine[k]! ** 2, 0);
  return ((power / around.length) * n) / 4;
}

/** The fit with standard deviations that follow the noise near its frequency. `residual` is what it leaves of the record. */
export function withLocalNoise(fit: SineFit, residual: Course): SineFit {
  const variance = localVariance(residual, fit.omega);
  return variance === null ? fit : { ...fit, sd: sineBounds(variance, fit.amplitude, fit.frames, fit.parameters) };
}

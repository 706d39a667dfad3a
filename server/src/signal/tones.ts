import { type Distortion, distortionOf } from './distortion';
import { findTone, withLocalNoise } from './find-tone';
import { levelsOf } from './levels';
import { fitSine3, type SineFit } from './sine-fit';
import { type SineSum, withoutSines } from './sines';

/** The tone of one channel over a stretch. */
export interface ChannelTone {
  readonly fit: SineFit;
  /** It is most of what the channel holds: half its power or more. Only then do distortion figures mean something. */
  readonly dominant: boolean;
}

/** How sines are fitted to a record. Frequencies in radians a (mean) step; deviations follow the noise as well as can be told. */
export interface Fitter {
  /** The strongest sine, or that near a frequency: four parameters. */
  find(samples: Float64Array, near?: number): SineFit | null;
  /** A sine of known frequency: three parameters. */
  at(samples: Float64Array, omega: number): SineFit | null;
  distortion(samples: Float64Array, fit: SineFit, fullRange: number | null): Distortion | null;
}

/** A tone that is not dominant is one if its amplitude is this many standard deviations. Common practice, no source. */
const evident = 5;

/** The fit as a sum to subtract: phases of a fit count from the first sample, those of a sum from the middle. */
export function asSum({ omega, amplitude, phase, offset, frames }: SineFit): SineSum {
  const middle = phase + (omega * (frames - 1)) / 2;
  return { omegas: [omega], offset, cosine: [amplitude * Math.sin(middle)], sine: [amplitude * Math.cos(middle)] };
}

const local = (samples: Float64Array, fit: SineFit | null) =>
  fit && withLocalNoise(fit, withoutSines(samples, asSum(fit)));

/** Fits of evenly spaced samples. */
export const evenFitter: Fitter = {
  find: (samples, near) => local(samples, findTone(samples, { near })),
  at: (samples, omega) => local(samples, fitSine3(samples, omega)),
  distortion: (samples, fit, fullRange) => distortionOf(samples, fit, fullRange),
};

/** Below this share of DC a fit is of what rounding leaves. */
const rounding = 1e-12;

const judge = (fit: SineFit | null): ChannelTone | null => {
  if (fit === null || fit.amplitude <= rounding * Math.abs(fit.offset)) return null;
  const power = fit.amplitude ** 2 / 2;
  return { fit, dominant: power >= 0.5 * (power + fit.residual ** 2) };
};

/**
 * The tone of every channel over one stretch. Each is looked for by itself: near the stimulus' frequency where that is known
 * (radians a sample), else as the strongest line. The strongest dominant one is the reference; a channel without a tone of its
 * own is fitted at the reference's frequency with three parameters, which is how a whisper of crosstalk is measured in noise.
 */
export function tonesOf(channels: readonly Float64Array[], near?: number, fitter = evenFitter): (ChannelTone | null)[] {
  const own = channels.map((samples) => judge(fitter.find(samples, near)));
  const kept = own.map((tone) =>
    tone && (tone.dominant || (near !== undefined && isEvident(tone.fit))) ? tone : null,
  );
  const candidates = kept.filter((tone) => tone !== null);
  if (candidates.length === 0) return kept;
  const loudest = candidates.reduce((best, tone) => (tone.fit.amplitude > best.fit.amplitude ? tone : best));
  return kept.map((tone, i) => {
    if (tone?.dominant) return tone;
    const at = judge(fitter.at(channels[i]!, loudest.fit.omega));
    return at && isEvident(at.fit) ? at : null;
  });
}

const isEvident = ({ amplitude, sd }: SineFit) => amplitude > evident * sd.amplitude;

/** Share of a record within 2 % of its extremes: 2·acos(0.98)/π = 0.1275 for a sine. Null for a constant. */
export function flatTopOf(samples: Float64Array): number | null {
  const { min, max } = levelsOf(samples);
  const half = (max - min) / 2;
  if (!(half > 0)) return null;
  const high = max - 0.02 * half;
  const low = min + 0.02 * half;
  let count = 0;
  for (const value of samples) if (value >= high || value <= low) count++;
  return count / samples.length;
}

/** Amplitude and phase of one frequency in a channel, and how sure they are: three parameters, local noise. */
export const toneAt = (samples: Float64Array, omega: number): SineFit | null => evenFitter.at(samples, omega);

type Two<T> = readonly [T, T];

/**
 * Two channels at the frequency of the stronger tone of the two, so that their phases are of one frequency. Null where neither
 * has a tone, or each has its own, further apart than the record resolves.
 */
export function commonTone(
  samples: Two<Float64Array>,
  tones: Two<ChannelTone | null>,
  fitter = evenFitter,
): Two<SineFit> | null {
  const [first, second] = tones;
  const stronger = !second || (first && first.fit.amplitude >= second.fit.amplitude) ? first : second;
  if (!stronger) return null;
  const own = first?.dominant && second?.dominant;
  if (own && Math.abs(first.fit.omega - second.fit.omega) * samples[0].length > Math.PI) return null;
  const fits = samples.map((channel) => fitter.at(channel, stronger.fit.omega));
  return fits[0] && fits[1] ? [fits[0], fits[1]] : null;
}

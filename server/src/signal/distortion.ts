import { fitHarmonics, type HarmonicFit } from './harmonics';
import type { SineFit } from './sine-fit';
import type { Course } from './sines';

/** Ratios in dB; −∞ or ∞ where nothing at all is left. */
export interface Distortion {
  /** The fundamental, fitted together with its harmonics. */
  readonly fundamental: SineFit;
  /** Harmonics over the fundamental (THD_F); null where not even the 2nd lies below half the rate. */
  readonly thd: number | null;
  /** Its standard deviation in dB, from the noise the harmonics lie in. */
  readonly thdSd: number | null;
  /** The highest harmonic counted. */
  readonly harmonics: number | null;
  /** Each harmonic from the 2nd on, over the fundamental. */
  readonly harmonicLevels: readonly number[];
  /** Everything but DC and fundamental over everything but DC, whole bandwidth. */
  readonly thdn: number;
  readonly sinad: number;
  /** Fundamental over what neither it nor the counted harmonics explain. */
  readonly snr: number;
  /** log2(full range / (residual·√12)) (IEEE 1241); null where the full range is unknown. */
  readonly enob: number | null;
  /** What fundamental and counted harmonics leave of the samples; null where these are not evenly spaced. */
  readonly rest: Course | null;
}

const db = (ratio: number) => 20 * Math.log10(ratio);

/**
 * Distortion figures of a record from its fundamental's four-parameter fit. Noise and distortion (NAD, IEEE 1241) is the RMS of
 * everything but the fundamental and DC.
 *
 * @param fullRange the converter's range from rail to rail in the samples' unit, null where unknown.
 */
export function distortionOf(
  samples: Float64Array,
  fit: SineFit,
  fullRange: number | null,
  highest?: number,
): Distortion | null {
  const found = fitHarmonics(samples, fit, highest);
  return found && distortionFrom(found, fullRange);
}

/** The same figures from a fundamental and its harmonics as fitted. */
export function distortionFrom(
  { fundamental, squared, rest, restRms: left }: HarmonicFit,
  fullRange: number | null,
): Distortion {
  const { residual: nad, frames } = fundamental;
  const signal = fundamental.amplitude / Math.SQRT2;
  const power = squared.reduce((total, value) => total + value, 0);
  const counted = squared.length > 0;
  // A harmonic's squared amplitude A² scatters by 8A²σ²/N about itself, and noise alone makes one of 4σ²/N with that deviation.
  const spread = Math.sqrt((8 * power * left * left) / frames + squared.length * ((4 * left * left) / frames) ** 2);
  return {
    fundamental,
    thd: counted ? db(Math.sqrt(power) / fundamental.amplitude) : null,
    thdSd: counted && power > 0 ? (10 / Math.LN10) * (spread / power) : null,
    harmonics: counted ? squared.length + 1 : null,
    harmonicLevels: squared.map((value) => db(Math.sqrt(value) / fundamental.amplitude)),
    thdn: db(nad / Math.hypot(signal, nad)),
    sinad: db(signal / nad),
    snr: db(signal / left),
    enob: fullRange === null ? null : Math.log2(fullRange / (nad * Math.sqrt(12))),
    rest,
  };
}

import { rmsOf, type SineFit } from './sine-fit';
import { fitSines, subtractSines } from './sines';

/** Highest harmonic counted unless asked otherwise: the 2nd to the 10th, nine of them (as TI TIDUA05B; others count 5 or 15). */
export const defaultHarmonics = 10;

/** Ratios in dB; −∞ or ∞ where nothing at all is left. */
export interface Distortion {
  /** Harmonics over the fundamental (THD_F); null where not even the 2nd lies below half the rate. */
  readonly thd: number | null;
  /** Its standard deviation in dB, from the noise between the harmonics. */
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
  /** What fundamental and counted harmonics leave of the samples. */
  readonly noise: Float64Array;
}

const db = (ratio: number) => 20 * Math.log10(ratio);

/**
 * Distortion figures of a record whose fundamental has been fitted with four parameters (IEEE 1241: NAD is the RMS of that fit's
 * residual). The harmonics are fitted together with the fundamental at whole multiples of its frequency, so the record need not
 * hold whole periods.
 *
 * @param fullRange the converter's range from rail to rail in the samples' unit, null where unknown.
 */
export function distortionOf(
  samples: Float64Array,
  fit: SineFit,
  fullRange: number | null,
  highest = defaultHarmonics,
): Distortion {
  const { omega, amplitude, residual: nad, frames } = fit;
  const signal = amplitude / Math.SQRT2;
  const omegas = [omega];
  // A harmonic within a cycle of half the rate cannot be told from its own image.
  for (let h = 2; h <= highest && h * omega < Math.PI - (2 * Math.PI) / frames; h++) omegas.push(h * omega);
  const sum = fitSines(samples, omegas);
  const squared = sum ? omegas.map((_, k) => sum.cosine[k]! ** 2 + sum.sine[k]! ** 2) : [amplitude ** 2];
  const fundamental = squared[0]!;
  const harmonic = squared.slice(1);
  const power = harmonic.reduce((total, value) => total + value, 0);
  const noise = sum ? subtractSines(samples, sum) : new Float64Array(samples);
  const left = rmsOf(noise);
  // Each harmonic's squared amplitude has variance 4A²·σ²·2/(2N) about it plus the noise's own; first order in σ.
  const spread = Math.sqrt(
    (8 * power * left * left) / frames + harmonic.length * (4 * left * left * (1 / frames)) ** 2,
  );
  return {
    thd: harmonic.length > 0 ? db(Math.sqrt(power / fundamental)) : null,
    thdSd: harmonic.length > 0 && power > 0 ? (10 / Math.LN10) * (spread / power) : null,
    harmonics: harmonic.length > 0 ? harmonic.length + 1 : null,
    harmonicLevels: harmonic.map((value) => db(Math.sqrt(value / fundamental))),
    thdn: db(nad / Math.hypot(signal, nad)),
    sinad: db(signal / nad),
    snr: db(signal / left),
    enob: fullRange === null ? null : Math.log2(fullRange / (nad * Math.sqrt(12))),
    noise,
  };
}

import { bandPower } from './band-power';
import type { NoiseFigures } from './figures';
import { dbfs, dbv } from './levels';
import type { QuasiPeakReading } from './quasi-peak';
import { Welch } from './welch';

/** The band noise is measured over: 20 Hz to 20 kHz (AES17), or as far as the rate reaches. */
export const audioBand = [20, 20000] as const;

/** Longest segment: 1.5 Hz a bin at 48 kHz, fine enough for the weighting's steep low end. */
const longestSegment = 1 << 15;

/** Bins wider than this leave nothing of the band's low end to weigh. */
const widestBin = 40;

/** A one-sided power density and its bin width. */
export interface Density {
  readonly values: Float64Array;
  readonly binWidth: number;
}

/** Averaged density of an array: segments of up to 2^15 samples, half overlapping; null where it is too short for 64. */
export function densityOf(samples: Float64Array, rate: number): Density | null {
  let segment = 64;
  if (samples.length < segment) return null;
  while (segment * 2 <= Math.min(samples.length, longestSegment)) segment *= 2;
  const welch = new Welch(1, rate, { segment });
  welch.push([samples]);
  const { auto, binWidth } = welch.result();
  return { values: auto[0]!, binWidth };
}

/**
 * Noise levels from a density in V²/Hz (→ dBV) or fractions of full scale squared a hertz (→ dBFS), and from the quasi-peak
 * meter's reading in V or fractions of full scale. Null where bins are too wide.
 */
export function noiseFigures(
  { values, binWidth }: Density,
  quasiPeak: QuasiPeakReading | null,
  unit: 'V' | 'FS' | 'A',
  from: NoiseFigures['from'],
): NoiseFigures | null {
  const nyquist = (values.length - 1) * binWidth;
  const upTo = Math.min(audioBand[1], nyquist);
  if (binWidth > widestBin || upTo <= 10 * audioBand[0]) return null;
  const db = unit === 'FS' ? dbfs : dbv;
  const level = (weighting: 'flat' | 'A' | 'ccirRms') =>
    db(Math.sqrt(bandPower(values, binWidth, audioBand[0], upTo, weighting)));
  const bs468 = quasiPeak && { highest: db(quasiPeak.highest), typical: db(quasiPeak.typical) };
  return { flat: level('flat'), A: level('A'), ccirRms: level('ccirRms'), bs468, upTo, from };
}

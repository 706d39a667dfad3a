import { describe, expect, test } from 'vitest';
import { bandPower } from '../../server/src/signal/band-power';
import { Welch } from '../../server/src/signal/welch';
import { noiseOf, uniform } from './make';

/*
 * What quantising leaves, re a full-scale sine (AES17), whole band: q²/12 of rounding, twice that with rectangular dither, three
 * times with triangular; closed forms. A-weighted within 20 Hz–20 kHz: numpy, from the curve of IEC 61672-1.
 */
const dithers: Record<string, (draw: () => number) => number> = {
  rounding: () => 0,
  rectangular: (draw) => draw() - 0.5,
  triangular: (draw) => draw() - draw(),
};

function errorOf(bits: number, dither: string): Float64Array {
  const q = 2 ** (1 - bits);
  const draw = uniform(bits);
  const noise = dithers[dither]!;
  return noiseOf(9, 400_000, 0.1).map((x) => Math.round(x / q + noise(draw)) * q - x);
}

/** dBFS of an error's spectrum over a band. */
function floor(error: Float64Array, rate: number, from: number, to: number, weighting: 'flat' | 'A'): number {
  const welch = new Welch(1, rate, { segment: 8192, detrend: false });
  welch.push([error]);
  const { auto, binWidth } = welch.result();
  return 10 * Math.log10(2 * bandPower(auto[0]!, binWidth, from, to, weighting));
}

describe('noise floors of quantisation, through spectrum and band', () => {
  test.each([
    [16, 'rounding', -98.0905],
    [16, 'rectangular', -95.0802],
    [16, 'triangular', -93.3193],
    [24, 'rounding', -146.2553],
    [24, 'rectangular', -143.245],
    [24, 'triangular', -141.4841],
  ])('%i bits, %s: %f dBFS', (bits, dither, level) => {
    expect(Math.abs(floor(errorOf(bits, dither), 48000, 0, 24000, 'flat') - level)).toBeLessThan(0.05);
  });

  test.each([
    [48000, -96.16],
    [44100, -95.8],
  ])('16 bits with triangular dither at %i Hz, A-weighted: %f dBFS', (rate, level) => {
    expect(Math.abs(floor(errorOf(16, 'triangular'), rate, 20, 20000, 'A') - level)).toBeLessThan(0.05);
  });
});

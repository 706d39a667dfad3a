import { describe, expect, test } from 'vitest';
import {
  coherence,
  coherenceThreshold,
  meanCoherenceThreshold,
  phaseDeviation,
  unbiasedCoherence,
} from '../../server/src/signal/coherence';
import { effectiveSegments, segmentFor, Welch } from '../../server/src/signal/welch';
import { windowOf } from '../../server/src/signal/windows';
import { noiseOf, sum, times } from './make';

/** P(γ̂² > c) = (1−c)^(K−1), Priestley 1981 p. 706; evaluated with numpy. Columns: α = 0.10, 0.05, 0.01, 0.001. */
const thresholds: [number, number, number, number, number][] = [
  [2, 0.9, 0.95, 0.99, 0.999],
  [3, 0.683772, 0.776393, 0.9, 0.968377],
  [4, 0.535841, 0.631597, 0.784557, 0.9],
  [5, 0.437659, 0.527129, 0.683772, 0.822172],
  [8, 0.280314, 0.348164, 0.482053, 0.627241],
  [10, 0.225736, 0.283129, 0.400516, 0.535841],
  [16, 0.142304, 0.181036, 0.264358, 0.369043],
  [20, 0.114133, 0.145869, 0.21524, 0.304807],
  [32, 0.071585, 0.092114, 0.138046, 0.19975],
  [50, 0.045905, 0.059306, 0.089702, 0.131489],
  [64, 0.035889, 0.046438, 0.07049, 0.103849],
  [100, 0.02299, 0.029807, 0.045452, 0.067397],
  [128, 0.017967, 0.023312, 0.035612, 0.052939],
  [256, 0.008989, 0.011679, 0.017897, 0.026726],
];

test.each(thresholds)('thresholds of significance from %i segments', (segments, ...row) => {
  [0.1, 0.05, 0.01, 0.001].forEach((alpha, i) => {
    expect(coherenceThreshold(segments, alpha)).toBeCloseTo(row[i]!, 6);
  });
});

test('one segment proves nothing: coherence is 1 whatever comes in, and no threshold is passed', () => {
  const welch = new Welch(2, 48000, { segment: 256 });
  welch.push([noiseOf(1, 256), noiseOf(2, 256)]);
  const spectra = welch.result();
  expect(spectra.segments).toBe(1);
  expect(coherence(spectra, 0, 1)[40]).toBeCloseTo(1, 9);
  expect(coherenceThreshold(spectra.effectiveSegments, 0.001)).toBe(1);
  expect(meanCoherenceThreshold(spectra.effectiveSegments, 50)).toBe(1);
});

test('overlap: Hann at a half, 31 segments are worth 29.42', () => {
  // K/(1 + 2·(1/6)²·(K−1)/K), Welch 1967; checked by simulation with numpy.
  expect(effectiveSegments(31, windowOf('hann', 1024), 512)).toBeCloseTo(29.42, 2);
  expect(effectiveSegments(31, windowOf('hann', 1024), 1024)).toBe(31);
});

describe('on simulated noise', () => {
  /** Coherence of many bins between two noises that share `common` of their power, from 31 half-overlapping segments. */
  function draw(common: number): number[] {
    const segment = 512;
    const values: number[] = [];
    for (let run = 0; run < 30; run++) {
      const frames = segment * 16;
      const shared = noiseOf(3 * run + 1, frames);
      const mix = (seed: number) =>
        sum(times(shared, Math.sqrt(common)), times(noiseOf(seed, frames), Math.sqrt(1 - common)));
      const welch = new Welch(2, 48000, { segment });
      welch.push([mix(3 * run + 2), mix(3 * run + 3)]);
      const spectra = welch.result();
      expect(spectra.segments).toBe(31);
      values.push(...coherence(spectra, 0, 1).slice(2, -2));
    }
    return values;
  }
  const mean = (values: number[]) => values.reduce((total, value) => total + value, 0) / values.length;

  test('unrelated channels pass the 5 % threshold 5 % of the time, by the effective number of segments', () => {
    const values = draw(0);
    const effective = effectiveSegments(31, windowOf('hann', 512), 256);
    const passed = values.filter((value) => value > coherenceThreshold(effective, 0.05)).length / values.length;
    // About 7500 bins, neighbours not independent: the rate is known to some 0.4 %.
    expect(passed).toBeGreaterThan(0.038);
    expect(passed).toBeLessThan(0.062);
    expect(mean(values)).toBeCloseTo(1 / effective, 2);
  });

  test('their mean over bins passes its own threshold about once in a thousand', () => {
    const values = draw(0);
    const effective = effectiveSegments(31, windowOf('hann', 512), 256);
    const size = 15;
    const bins = size / windowOf('hann', 512).enbw;
    const means = Array.from({ length: Math.floor(values.length / size) }, (_, i) =>
      mean(values.slice(i * size, (i + 1) * size)),
    );
    const passed = means.filter((value) => value > meanCoherenceThreshold(effective, bins)).length;
    expect(passed).toBeLessThanOrEqual(4);
    const half = means.filter((value) => value > meanCoherenceThreshold(effective, bins) * 0.6).length;
    expect(half).toBeGreaterThan(means.length * 0.01);
  });

  test('the bias (1−γ²)²/K of partly related channels is taken off', () => {
    // Carter, Knapp & Nuttall 1973. γ² of two mixes that share a fraction p of their power is p².
    const values = draw(Math.sqrt(0.5));
    const effective = effectiveSegments(31, windowOf('hann', 512), 256);
    expect(mean(values)).toBeGreaterThan(0.503);
    expect(unbiasedCoherence(mean(values), effective)).toBeCloseTo(0.5, 2);
  });
});

test('phase deviation is √((1−γ²)/(2Kγ²)): 0.0625 rad at 0.8 from 32 segments', () => {
  // Bendat & Piersol; numpy simulation gave 0.0642.
  expect(phaseDeviation(0.8, 32)).toBeCloseTo(0.0625, 4);
  expect(phaseDeviation(1, 32)).toBe(0);
  expect(phaseDeviation(0, 32)).toBe(Infinity);
});

describe('segments', () => {
  test('leave at least 16 of them, and shrink no further than 64 samples', () => {
    for (const frames of [600, 4800, 48000, 480000]) {
      const segment = segmentFor(frames, 48000);
      expect(Math.log2(segment) % 1).toBe(0);
      expect((2 * frames) / segment - 1).toBeGreaterThanOrEqual(16);
    }
    expect(segmentFor(100, 48000)).toBe(64);
    expect(segmentFor(1e7, 48000)).toBe(8192);
    expect(segmentFor(1e7, 96000)).toBe(16384);
  });

  test('a burst among silence is evidence of one segment, not of all', () => {
    const silent = new Float64Array(64 * 512);
    const burst = silent.slice();
    burst.set(noiseOf(5, 512), 20 * 512);
    const steady = noiseOf(6, 64 * 512);
    const welch = new Welch(2, 48000, { segment: 512, hop: 512 });
    welch.push([burst, burst]);
    expect(welch.result().cross(0, 1).evenness * 64).toBeCloseTo(1, 6);
    const even = new Welch(2, 48000, { segment: 512, hop: 512 });
    even.push([steady, steady]);
    expect(even.result().cross(0, 1).evenness).toBeGreaterThan(0.95);
  });
});

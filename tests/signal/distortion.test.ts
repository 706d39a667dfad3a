import { describe, expect, test } from 'vitest';
import { distortionOf } from '../../server/src/signal/distortion';
import { findTone } from '../../server/src/signal/find-tone';
import { flatTopOf } from '../../server/src/signal/tones';
import { noiseOf, sine, sum } from './make';

const rate = 48000;
const figures = (samples: Float64Array, highest?: number) => {
  const fit = findTone(samples)!;
  return distortionOf(samples, fit, 2, highest)!;
};

describe('S2: two harmonics of known level (IEEE 1241 definitions; values computed from them)', () => {
  const samples = sum(
    sine({ rate, frames: rate, frequency: 997, amplitude: 1 }),
    sine({ rate, frames: rate, frequency: 1994, amplitude: 0.01 }),
    sine({ rate, frames: rate, frequency: 2991, amplitude: 0.005 }),
  );
  const found = figures(samples);
  test('THD over the fundamental −39.030900 dB', () => expect(found.thd).toBeCloseTo(-39.0309, 6));
  test('THD over the whole −39.031443 dB, which is THD+N here', () => expect(found.thdn).toBeCloseTo(-39.031443, 6));
  test('SINAD 39.030900 dB', () => expect(found.sinad).toBeCloseTo(39.0309, 6));
  test('ENOB 6.190411 by the logarithm; 6.191179 by (SINAD − 1.76)/6.02 rounded', () => {
    expect(found.enob).toBeCloseTo(6.190411, 6);
    expect((found.sinad - 1.76) / 6.02).toBeCloseTo(6.191179, 6);
  });
  test('each harmonic', () => {
    expect(found.harmonicLevels[0]).toBeCloseTo(-40, 9);
    expect(found.harmonicLevels[1]).toBeCloseTo(20 * Math.log10(0.005), 9);
    expect(found.harmonicLevels.slice(2).every((level) => level < -250)).toBe(true);
    expect(found.harmonics).toBe(10);
  });
});

test.each([
  [8, 49.953, 8.016],
  [12, 74.025, 12.003],
  [16, 98.083, 15.999],
])('S3: quantised to %i bits (computed; ideal 6.02·b + 1.76 dB)', (bits, sinad, enob) => {
  const q = 2 ** (1 - bits);
  const samples = sine({ rate, frames: rate, frequency: 997, amplitude: 1 - q, phase: 0.1 }).map(
    (x) => Math.round(x / q) * q,
  );
  const found = figures(samples);
  expect(found.sinad).toBeCloseTo(sinad, 2);
  expect(found.enob).toBeCloseTo(enob, 2);
});

/** Fine sampling of one period, many times over: what a wave's Fourier series gives, up to the sampling itself. */
const wave = (of: (phase: number) => number) => {
  const period = 960;
  return Float64Array.from({ length: 400 * period }, (_, n) => of(((n + 0.5) / period) % 1));
};

describe('S4, S5: waves with a known series', () => {
  const all = (samples: Float64Array) => 100 * 10 ** (-figures(samples).sinad / 20);
  test('square √(π²/8 − 1) = 48.3426 %', () => expect(all(wave((p) => (p < 0.5 ? 1 : -1)))).toBeCloseTo(48.3426, 3));
  test('triangle √(π⁴/96 − 1) = 12.1153 %', () =>
    expect(all(wave((p) => 4 * Math.abs(p - 0.5) - 1))).toBeCloseTo(12.1153, 3));
  test('sawtooth √(π²/6 − 1) = 80.3078 %', () => expect(all(wave((p) => 2 * p - 1)) / 80.3078).toBeCloseTo(1, 4));
  test('square, harmonics 2 to 10 alone: √(1/9 + 1/25 + 1/49 + 1/81)', () => {
    // Sampled 960 times a period, h becomes sin(πh/960)/sin(π/960).
    const amplitude = (h: number) => Math.sin(Math.PI / 960) / Math.sin((Math.PI * h) / 960);
    const expected = 10 * Math.log10([3, 5, 7, 9].reduce((total, h) => total + amplitude(h) ** 2, 0));
    expect(expected).toBeCloseTo(10 * Math.log10(1 / 9 + 1 / 25 + 1 / 49 + 1 / 81), 3);
    expect(figures(wave((p) => (p < 0.5 ? 1 : -1))).thd).toBeCloseTo(expected, 4);
  });
});

test.each([
  [0.9, 0.962614, 4.2199, -29.666],
  [Math.SQRT1_2, 0.81831, 13.4196, -17.744],
  [0.5, 0.608998, 23.2938, -12.905],
])('S6: a sine clipped at %f of its peak', (level, fundamental, thd, third) => {
  const samples = wave((p) => Math.max(-level, Math.min(level, Math.sin(2 * Math.PI * p))));
  const found = figures(samples);
  expect(found.fundamental.amplitude).toBeCloseTo(fundamental, 5);
  expect(100 * 10 ** (-found.sinad / 20)).toBeCloseTo(thd, 3);
  expect(found.harmonicLevels[1]).toBeCloseTo(third, 3);
  // The share of time at the clipped top: 1 − (2/π)·asin(c), plus the way up from 98 % of it.
  expect(Math.abs(flatTopOf(samples)! - (1 - (2 / Math.PI) * Math.asin(0.98 * level)))).toBeLessThan(4 / 960);
});

test('a pure sine spends 2·acos(0.98)/π = 12.75 % of its time within 2 % of its ends', () => {
  const samples = sine({ rate, frames: rate, frequency: 997, amplitude: 1 });
  expect(flatTopOf(samples)).toBeCloseTo((2 * Math.acos(0.98)) / Math.PI, 4);
});

test('in white noise THD scatters as much as it says, and SNR is the noise’s', () => {
  const clean = sum(
    sine({ rate, frames: 8192, frequency: 997, amplitude: 0.5 }),
    sine({ rate, frames: 8192, frequency: 2991, amplitude: 0.005, phase: 1 }),
  );
  const draws = Array.from({ length: 60 }, (_, seed) => figures(sum(clean, noiseOf(seed + 1, 8192, 0.01))));
  const thd = draws.map((draw) => draw.thd!);
  const mean = thd.reduce((a, b) => a + b, 0) / thd.length;
  const sd = Math.sqrt(thd.reduce((a, b) => a + (b - mean) ** 2, 0) / (thd.length - 1));
  const said = draws.reduce((a, draw) => a + draw.thdSd!, 0) / draws.length;
  // 60 draws know a deviation to 1/√120 = 9 %; three of them.
  expect(Math.abs(sd / said - 1)).toBeLessThan(0.3);
  for (const { snr } of draws) expect(snr).toBeCloseTo(20 * Math.log10(0.5 / Math.SQRT2 / 0.01), 0);
});

test('harmonics above half the rate are not counted', () => {
  const samples = sine({ rate, frames: 4800, frequency: 5000, amplitude: 1 });
  expect(figures(samples).harmonics).toBe(4);
  expect(figures(sine({ rate, frames: 4800, frequency: 13000, amplitude: 1 })).thd).toBeNull();
});

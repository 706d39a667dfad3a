import { describe, expect, test } from 'vitest';
import { bandPower } from '../../server/src/signal/band-power';
import { type WeightingName, weightings } from '../../server/src/signal/weighting';

const db = (name: WeightingName, frequency: number) => 20 * Math.log10(weightings[name].gain(frequency));
/** As tables are printed: half away from zero, one decimal. */
const printed = (value: number) => (Math.sign(value) * Math.round(Math.abs(value) * 10)) / 10 + 0;

/*
 * IEC 61672-1 Table 3, A and C at the exact base-ten frequencies 1000·10^(n/10), n = −20 … 13 (10 Hz to 20 kHz); agrees with
 * ANSI S1.4-1983 Table AI.
 */
const tableA = [
  -70.4, -63.4, -56.7, -50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1, -13.4, -10.9, -8.6, -6.6, -4.8,
  -3.2, -1.9, -0.8, 0, 0.6, 1, 1.2, 1.3, 1.2, 1, 0.5, -0.1, -1.1, -2.5, -4.3, -6.6, -9.3,
];
const tableC = [
  -14.3, -11.2, -8.5, -6.2, -4.4, -3, -2, -1.3, -0.8, -0.5, -0.3, -0.2, -0.1, 0, 0, 0, 0, 0, 0, 0, 0, 0, -0.1, -0.2,
  -0.3, -0.5, -0.8, -1.3, -2, -3, -4.4, -6.2, -8.5, -11.2,
];

describe('A and C of IEC 61672-1', () => {
  test('round to the printed table in all 34 rows, at the exact frequencies', () => {
    const exact = tableA.map((_, i) => 1000 * 10 ** ((i - 20) / 10));
    expect(exact.map((f) => printed(db('A', f)))).toEqual(tableA);
    expect(exact.map((f) => printed(db('C', f)))).toEqual(tableC);
  });

  test('A at high frequencies as ANSI S1.4-1983 extends it', () => {
    const high: [number, number][] = [
      [25118.86, -12.4],
      [31622.78, -15.8],
      [39810.72, -19.3],
      [50118.72, -23.1],
      [63095.73, -26.9],
      [79432.82, -30.8],
      [100000, -34.7],
    ];
    for (const [f, level] of high) expect(printed(db('A', f))).toBe(level);
  });

  test('the bins of a spectrum carry the analytic curve to 0.02 dB, up to half the rate', () => {
    // Worked out with numpy from the poles of Annex E; a bilinear filter at 48 kHz is 15.7 dB off in the last row.
    const rows: [number, number][] = [
      [20, -50.3904],
      [1000, 0],
      [8000, -1.1471],
      [10000, -2.4918],
      [12500, -4.2542],
      [16000, -6.7063],
      [20000, -9.3469],
    ];
    const binWidth = 10;
    for (const [f, level] of rows) {
      const line = new Float64Array(2401);
      line[f / binWidth] = 1;
      const power = bandPower(line, binWidth, 0, 24000, 'A') / binWidth;
      expect(Math.abs(10 * Math.log10(power) - level)).toBeLessThan(0.02);
    }
  });

  // numpy, from the analytic curve: weighted over unweighted white noise in the same band.
  test.each([
    [20, 20000, -2.0483],
    [0, 22050, -2.4051],
    [0, 24000, -2.7225],
    [22, 22000, -2.3924],
  ])('white noise from %i to %i Hz reads %f dB under A', (from, to, level) => {
    const white = new Float64Array(24001).fill(1);
    const ratio = bandPower(white, 1, from, to, 'A') / bandPower(white, 1, from, to);
    expect(10 * Math.log10(ratio)).toBeCloseTo(level, 3);
  });

  test('pink noise 20 Hz to 20 kHz reads −2.8586 dB under A', () => {
    const pink = Float64Array.from({ length: 200_001 }, (_, k) => (k ? 1 / k : 0));
    const ratio = bandPower(pink, 0.1, 20, 20000, 'A') / bandPower(pink, 0.1, 20, 20000);
    expect(10 * Math.log10(ratio)).toBeCloseTo(-2.8586, 3);
  });
});

describe('BS.468', () => {
  // ITU-R BS.468-4 Table 1: Hz, dB, tolerance.
  const rows: [number, number, number][] = [
    [31.5, -29.9, 2],
    [63, -23.9, 1.4],
    [100, -19.8, 1],
    [200, -13.8, 0.85],
    [400, -7.8, 0.7],
    [800, -1.9, 0.55],
    [1000, 0, 0.5],
    [2000, 5.6, 0.5],
    [3150, 9, 0.5],
    [4000, 10.5, 0.5],
    [5000, 11.7, 0.5],
    [6300, 12.2, 0.02],
    [7100, 12, 0.2],
    [8000, 11.4, 0.4],
    [9000, 10.1, 0.6],
    [10000, 8.1, 0.8],
    [12500, 0, 1.2],
    [14000, -5.3, 1.4],
    [16000, -11.7, 1.6],
    [20000, -22.2, 2],
    [31500, -42.7, 2.8],
  ];

  test.each(rows)('at %f Hz is %f dB, far inside ±%f', (f, level, tolerance) => {
    expect(Math.abs(db('bs468', f) - level)).toBeLessThan(Math.min(tolerance, 0.06));
  });

  test('is 0 dB at 1 kHz in one convention and at 2 kHz in the other, 5.629 dB apart, and both say they are RMS', () => {
    expect(db('bs468', 1000)).toBeCloseTo(0, 12);
    expect(db('ccirRms', 2000)).toBeCloseTo(0, 12);
    expect(db('bs468', 5000) - db('ccirRms', 5000)).toBeCloseTo(5.629, 3);
    for (const name of ['bs468', 'ccirRms'] as const) expect(weightings[name].note).toContain('RMS');
    expect(new Set(Object.values(weightings).map(({ name }) => name)).size).toBe(5);
  });

  test('white noise 20 Hz to 20 kHz reads +7.301 dB with 1 kHz unity, +1.672 dB with 2 kHz unity', () => {
    // numpy, from the formula.
    const white = new Float64Array(24001).fill(1);
    const flat = bandPower(white, 1, 20, 20000);
    expect(10 * Math.log10(bandPower(white, 1, 20, 20000, 'bs468') / flat)).toBeCloseTo(7.301, 3);
    expect(10 * Math.log10(bandPower(white, 1, 20, 20000, 'ccirRms') / flat)).toBeCloseTo(1.672, 3);
  });
});

test('a band cuts bins where its edges fall, and no band counts twice', () => {
  const density = Float64Array.from({ length: 101 }, (_, k) => 1 + k);
  const whole = bandPower(density, 10, 0, 1000);
  expect(bandPower(density, 10, 0, 333.3) + bandPower(density, 10, 333.3, 1000)).toBeCloseTo(whole, 9);
  expect(bandPower(new Float64Array(101).fill(2), 10, 0, 1000)).toBeCloseTo(2000, 9);
});

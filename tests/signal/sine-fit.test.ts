import { describe, expect, test } from 'vitest';
import { fitSine3, fitSine4 } from '../../server/src/signal/sine-fit';
import { noise, sine } from './make';

const rate = 48000;
const turn = 2 * Math.PI;

describe('4-parameter sine fit (IEEE 1057 / IEEE 1241 model, vector computed from the formula)', () => {
  test('S1: 99.7 cycles, started half a hertz off', () => {
    const samples = sine({ rate, frames: 4800, frequency: 997, amplitude: 0.5, phase: 0.3, dc: 0.01 });
    const fit = fitSine4(samples, (turn * 996.5) / rate)!;
    expect((fit.omega * rate) / turn).toBeCloseTo(997, 9);
    expect(fit.amplitude).toBeCloseTo(0.5, 12);
    expect(fit.phase).toBeCloseTo(0.3, 11);
    expect(fit.offset).toBeCloseTo(0.01, 12);
    expect(fit.residual).toBeLessThan(1e-13);
  });

  test.each([1.1, 1.5, 2.3, 7.9])('%f periods are enough', (periods) => {
    const frames = 1000;
    const frequency = (periods * rate) / frames;
    const samples = sine({ rate, frames, frequency, amplitude: 1, phase: -2, dc: 3 });
    const fit = fitSine4(samples, (turn * frequency * 1.05) / rate)!;
    expect((fit.omega * rate) / turn / frequency).toBeCloseTo(1, 8);
    expect(fit.phase).toBeCloseTo(-2, 7);
  });

  test('less than one period is refused', () => {
    const samples = sine({ rate, frames: 1000, frequency: 40, amplitude: 1, phase: 0, dc: 0 });
    expect(fitSine4(samples, (turn * 40) / rate)).toBeNull();
    expect(fitSine3(samples, (turn * 40) / rate)).toBeNull();
  });

  test('a million samples, and a tone at −100 dB under a DC of 1', () => {
    const samples = sine({ rate, frames: 1 << 20, frequency: 1234.5678, amplitude: 1e-5, phase: 1, dc: 1 });
    const fit = fitSine4(samples, (turn * 1234.57) / rate)!;
    expect((fit.omega * rate) / turn).toBeCloseTo(1234.5678, 8);
    expect(fit.amplitude / 1e-5).toBeCloseTo(1, 8);
    expect(fit.phase).toBeCloseTo(1, 6);
  });
});

describe('statistics (Rife & Boorstyn 1974, formulas from memory, confirmed by simulation)', () => {
  const frames = 1000;
  const sigma = 0.05;
  const omega = 0.7317;
  const draws = 3000;
  const random = noise(20240607);
  const fits = Array.from({ length: draws }, () => {
    const samples = Float64Array.from({ length: frames }, (_, n) => Math.sin(omega * n + 0.4) + sigma * random());
    return {
      four: fitSine4(samples, omega + 2e-4)!,
      three: fitSine3(samples, omega)!,
      off: fitSine3(samples, omega + 1e-4)!,
    };
  });
  const mean = (values: number[]) => values.reduce((a, b) => a + b, 0) / values.length;
  const variance = (values: number[]) => mean(values.map((v) => v * v)) - mean(values) ** 2;
  // The relative standard error of a variance from n draws is √(2/n): 2.6 %. Four of them are allowed.
  const near = (value: number, expected: number) =>
    expect(Math.abs(value / expected - 1)).toBeLessThan(4 * Math.sqrt(2 / draws));

  test('variance of frequency: 24σ²/(A²N(N²−1)) = 6.00e-11', () => {
    near(variance(fits.map((f) => f.four.omega)), (24 * sigma ** 2) / (frames * (frames ** 2 - 1)));
  });
  test('variance of amplitude: 2σ²/N = 5.00e-6', () =>
    near(variance(fits.map((f) => f.four.amplitude)), (2 * sigma ** 2) / frames));
  test('variance of phase at the first sample: 8σ²/(A²N) = 2.00e-5', () =>
    near(variance(fits.map((f) => f.four.phase)), (8 * sigma ** 2) / frames));
  test('the standard deviations reported are those', () => {
    near(mean(fits.map((f) => f.four.sd.omega ** 2)), 6.0e-11);
    near(mean(fits.map((f) => f.four.sd.amplitude ** 2)), 5.0e-6);
    near(mean(fits.map((f) => f.four.sd.phase ** 2)), 2.0e-5);
  });
  test('mean square residual: σ²(1−4/N) and σ²(1−3/N)', () => {
    const relative = (pick: 'four' | 'three') => mean(fits.map((f) => f[pick].residual ** 2)) / sigma ** 2;
    // Standard error √(2/(N·draws)) = 0.0008.
    expect(Math.abs(relative('four') - 0.996)).toBeLessThan(0.0033);
    expect(Math.abs(relative('three') - 0.997)).toBeLessThan(0.0033);
    // The same draws: their difference is far surer than each.
    expect((relative('three') - relative('four')) * frames).toBeCloseTo(1, 0);
  });
  test('a frequency error Δω adds A²Δω²N²/24 to a 3-parameter fit', () => {
    const added = mean(fits.map((f) => f.off.residual ** 2 - f.three.residual ** 2));
    expect(added / ((1e-4 ** 2 * frames ** 2) / 24)).toBeCloseTo(1, 1);
  });
  test('3 parameters beat 4 where |Δω| < √(24σ²/(A²N³)): equal at the boundary', () => {
    const boundary = Math.sqrt((24 * sigma ** 2) / frames ** 3);
    const four = mean(fits.map((f) => (f.four.omega - omega) ** 2));
    expect(Math.sqrt(four) / boundary).toBeCloseTo(1, 1);
  });
});

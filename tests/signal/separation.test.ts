import { describe, expect, test } from 'vitest';
import { chirp, chirpAt } from '../../server/src/signal/chirp';
import { chirpLeaks } from '../../server/src/signal/chirp-leaks';
import { type Leak, leakAt, leakCurve, signOf } from '../../server/src/signal/separation';
import { noiseOf, sine, sum, times } from './make';

const rate = 48000;
const frames = 96000;
const tone = (frequency: number, amplitude: number, phase = 0) => sine({ rate, frames, frequency, amplitude, phase });

describe('a leak, measured selectively at the stimulus', () => {
  test.each([-20, -60, -100, -120])('%i dB without noise', (level) => {
    const leak = leakAt(tone(997, 0.5), tone(997, 0.5 * 10 ** (level / 20), 1), rate, 997)!;
    expect(leak.level).toBeCloseTo(level, 4);
    expect(leak.phase).toBeCloseTo((180 / Math.PI) * 1, 3);
    expect(leak.floor).toBe(false);
  });

  test('under noise and hum far louder than itself, within its deviation', () => {
    // −70 dB beside noise at −30 dB and hum at −26 dB of the driven tone: a plain level would read −24.
    const errors: number[] = [];
    for (let seed = 1; seed <= 20; seed++) {
      const dirt = sum(noiseOf(seed, frames, 0.011), tone(50, 0.025));
      const leak = leakAt(tone(997, 0.5), sum(tone(997, 0.5e-3 * 3.1623), dirt), rate, 997)!;
      errors.push((leak.level + 50) / leak.levelSd);
    }
    const scatter = Math.sqrt(errors.reduce((total, e) => total + e * e, 0) / errors.length);
    expect(scatter).toBeGreaterThan(0.5);
    expect(scatter).toBeLessThan(2);
  });

  test('nothing but noise gives a bound, which the true leak keeps to', () => {
    const leak = leakAt(tone(997, 0.5), sum(noiseOf(3, frames, 0.01), tone(997, 1e-5)), rate, 997)!;
    expect([leak.floor, leak.phase]).toEqual([true, null]);
    expect(leak.level).toBeGreaterThan(20 * Math.log10(1e-5 / 0.5));
    expect(leak.level).toBeLessThan(-60);
    const black = leakAt(tone(997, 0.5), new Float64Array(frames), rate, 997, 2 ** -15)!;
    expect(black.level).toBeCloseTo(20 * Math.log10(2 ** -16 / 0.5), 6);
  });

  test('a driven channel without the tone gives none', () => {
    expect(leakAt(noiseOf(1, frames), tone(997, 0.5), rate, 997)).toBeNull();
    expect(leakAt(new Float64Array(frames), tone(997, 0.5), rate, 997)).toBeNull();
    expect(leakAt(new Float64Array(10), new Float64Array(10), rate, 997)).toBeNull();
  });
});

describe('sign and slope name the path', () => {
  /** A leak by a complex transfer function, as a circuit gives it. */
  const curve = (transfer: (f: number) => [number, number]) =>
    leakCurve(
      [61, 250, 997, 4000].map((frequency): Leak => {
        const [re, im] = transfer(frequency);
        const level = 20 * Math.log10(Math.hypot(re, im));
        return {
          frequency,
          level,
          levelSd: 0.1,
          floor: false,
          phase: (Math.atan2(im, re) * 180) / Math.PI,
          phaseSd: 1,
        };
      }),
    );

  test('by Kirchhoff', () => {
    // Shared 0.1 Ω with 32 Ω loads: −Rg/(RL+Rg).
    const shared = curve(() => [-0.1 / 32.1, 0]);
    expect([shared.sign, shared.path]).toEqual(['inverted', 'common-return']);
    expect(shared.slope).toBeCloseTo(0, 9);
    // 1 MΩ between sides of 100 Ω: in phase.
    expect(curve(() => [1e-4, 0]).path).toBe('resistive');
    // 10 pF between sides of 100 Ω: jωRC/(1 + jωRC).
    const capacitive = curve((f) => {
      const w = 2 * Math.PI * f * 100 * 10e-12;
      return [(w * w) / (1 + w * w), w / (1 + w * w)];
    });
    expect([capacitive.sign, capacitive.path]).toEqual(['leading', 'capacitive']);
    expect(capacitive.slope).toBeCloseTo(20, 1);
    // A 220 µF capacitor in the common return of 32 Ω loads: −Z/(RL+Z), Z = 1/jωC.
    const coupled = curve((f) => {
      const x = -1 / (2 * Math.PI * f * 220e-6);
      const [re, im] = [x * x, 32 * x];
      const own = 32 * 32 + x * x;
      return [-re / own, -im / own];
    });
    expect(coupled.path).toBe('return-capacitor');
    expect(coupled.slope!).toBeLessThan(-15);
  });

  test('one frequency has no slope, bounds take no part, and what fits nothing is not named', () => {
    const one: Leak = { frequency: 997, level: -40, levelSd: 0.1, floor: false, phase: 180, phaseSd: 1 };
    expect(leakCurve([one])).toMatchObject({ slope: null, path: null, sign: 'inverted' });
    expect(leakCurve([{ ...one, floor: true, phase: null }])).toMatchObject({ slope: null, sign: null, path: null });
    expect(leakCurve([])).toMatchObject({ path: null });
    expect(curve((f) => [f / 1e6, 0]).path).toBeNull();
    expect([0, 44, 46, -90, 134, 136, -136, 180].map(signOf)).toEqual([
      'in-phase',
      'in-phase',
      'leading',
      'lagging',
      'leading',
      'inverted',
      'inverted',
      'inverted',
    ]);
  });
});

describe('leaks by chirp', () => {
  const sound = (from: number) => Float64Array.from({ length: 20000 }, (_, n) => 0.25 * chirpAt(n / rate - from, true));

  test('octave by octave, level and phase', () => {
    const driven = sound(0.05);
    const leaks = chirpLeaks([[driven, sum(times(driven, -0.01), noiseOf(1, 20000, 1e-4))]], rate);
    expect(leaks.length).toBe(4);
    for (const { frequency, level, phase, floor } of leaks) {
      expect(frequency).toBeGreaterThan(chirp.low);
      expect(frequency).toBeLessThan(chirp.high);
      expect(level).toBeCloseTo(-40, 0);
      expect(Math.abs(phase!)).toBeGreaterThan(175);
      expect(floor).toBe(false);
    }
  });

  test('noise alone is a bound', () => {
    for (const { floor, level } of chirpLeaks([[sound(0.05), noiseOf(2, 20000, 1e-3)]], rate)) {
      expect(floor).toBe(true);
      expect(level).toBeLessThan(-50);
    }
    expect(chirpLeaks([], rate)).toEqual([]);
    expect(chirpLeaks([[new Float64Array(100), new Float64Array(100)]], rate)).toEqual([]);
  });
});

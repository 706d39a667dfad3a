import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ClipCounter } from '../../server/src/signal/clipping';
import { dbfs, dbu, dbv, LevelMeter, levelsOf } from '../../server/src/signal/levels';
import { noiseOf, sine } from './make';

describe('level units (definitions; values computed from them; −10 dBV = 0.316 V and +4 dBu = 1.228 V as published)', () => {
  test.each([
    [Math.sqrt(0.6), -2.2185, 0],
    [1, 0, 2.2185],
    [0.3162278, -10, -7.7815],
    [1.227653, 1.7815, 4],
    [0.5, -6.0206, -3.8021],
    [2, 6.0206, 8.2391],
    [2.8, 8.9432, 11.1616],
    [0.15, -16.4782, -14.2597],
  ])('%f V RMS', (volts, inDbv, inDbu) => {
    expect(dbv(volts)).toBeCloseTo(inDbv, 4);
    expect(dbu(volts)).toBeCloseTo(inDbu, 4);
  });
});

describe('dBFS (AES17, IEC 61606): a full-scale sine is 0, a full-scale square +3.0103', () => {
  test('sine', () => {
    expect(dbfs(levelsOf(sine({ rate: 48000, frames: 48000, frequency: 997, amplitude: 1 })).rms)).toBeCloseTo(0, 6);
  });
  test('square', () => {
    expect(dbfs(levelsOf(Float64Array.from({ length: 1000 }, (_, i) => (i % 2 ? 1 : -1))).rms)).toBeCloseTo(3.0103, 4);
  });
});

describe('levels as a stream', () => {
  const array = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 1, maxLength: 200 });
  test('cut anywhere, the figures are the same', () => {
    fc.assert(
      fc.property(array, fc.array(fc.nat(50), { maxLength: 8 }), (values, cuts) => {
        const samples = Float64Array.from(values);
        const meter = new LevelMeter();
        let at = 0;
        for (const cut of cuts) {
          meter.push(samples.subarray(at, at + cut));
          at = Math.min(samples.length, at + cut);
        }
        meter.push(samples.subarray(at));
        const [cutUp, whole] = [meter.result(), levelsOf(samples)];
        expect(cutUp.count).toBe(whole.count);
        expect(cutUp.dc).toBeCloseTo(whole.dc, 12);
        expect(cutUp.rms).toBeCloseTo(whole.rms, 12);
        expect([cutUp.min, cutUp.max]).toEqual([whole.min, whole.max]);
      }),
    );
  });
  test('a microvolt on a thousand volts loses nothing', () => {
    const meter = new LevelMeter();
    for (let block = 0; block < 100; block++)
      meter.push(Float64Array.from({ length: 1000 }, (_, i) => 1000 + (i % 2 ? 1e-6 : -1e-6)));
    expect(meter.result().rms / 1e-6).toBeCloseTo(1, 6);
  });
});

describe('clipped runs', () => {
  const step = 2 ** -15;
  const rails = { low: -1, high: 1 - step };
  const coded = (samples: Float64Array) =>
    samples.map((x) => Math.max(-32768, Math.min(32767, Math.round(x * 32768))) / 32768);
  const runs = (samples: Float64Array, size: number | null = step) => {
    const counter = new ClipCounter({ ...rails, step: size });
    // In two parts, so that a run may lie across the border.
    counter.push(samples.subarray(0, 1001));
    counter.push(samples.subarray(1001));
    return counter.runs;
  };
  test('every top and bottom of a sine 1 dB over full scale', () => {
    const samples = coded(sine({ rate: 48000, frames: 48000, frequency: 100, amplitude: 10 ** (1 / 20), phase: 1 }));
    expect(runs(samples)).toBe(200);
  });
  test('a tenth of a dB over is seen', () => {
    const samples = coded(sine({ rate: 48000, frames: 48000, frequency: 100, amplitude: 10 ** (0.1 / 20), phase: 1 }));
    expect(runs(samples)).toBe(200);
  });
  test.each([20, 40, 100, 997, 10_000])(
    'a full-scale sine of %i Hz dwells at its top, and is not clipped',
    (frequency) => {
      expect(runs(coded(sine({ rate: 48000, frames: 48000, frequency, amplitude: 1 - step })))).toBe(0);
    },
  );
  test('loud noise below full scale is not clipped', () => {
    expect(runs(coded(noiseOf(7, 48000, 0.2).map((x) => Math.max(-0.99, Math.min(0.99, x)))))).toBe(0);
  });
  test('from rail to rail: a square', () => {
    expect(runs(Float64Array.from({ length: 1000 }, (_, i) => (i % 10 < 5 ? rails.high : -1)))).toBe(200);
  });
  test('float: equal values at the rail; a float sine that touches 1 is none', () => {
    const over = sine({ rate: 48000, frames: 48000, frequency: 100, amplitude: 1.1, phase: 1 }).map((x) =>
      Math.max(-1, Math.min(1, x)),
    );
    expect(runs(over, null)).toBe(200);
    expect(runs(sine({ rate: 48000, frames: 48000, frequency: 20, amplitude: 1 }), null)).toBe(0);
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { measurePair, type PairMeasure, PairMeter } from '../../server/src/signal/pair';
import { noiseOf, sum, times } from './make';

const rate = 48000;
const frames = 24000;

/** Coloured noise with a chosen part in common: anything from the same to unrelated. */
function programme(seed: number, common: number): [Float64Array, Float64Array] {
  const shared = noiseOf(seed, frames, 0.1);
  const own = (offset: number) => {
    let low = 0;
    return sum(times(shared, common), times(noiseOf(seed + offset, frames, 0.1), 1 - common)).map((value) => {
      low = 0.6 * low + value;
      return low;
    });
  };
  return [own(1), own(2)];
}

const drawn = fc.record({ seed: fc.integer({ min: 1, max: 1e6 }), common: fc.double({ min: 0, max: 1, noNaN: true }) });
const runs = { numRuns: 25, seed: 1, endOnFailure: true };

/** Figures of two measurements agree to rounding, but for those named. */
function agree(a: PairMeasure, b: PairMeasure, except: (keyof PairMeasure)[]) {
  for (const key of ['correlation', 'mid', 'side', 'balance', 'coherence', 'phase', 'relation'] as const) {
    if (except.includes(key)) continue;
    const [x, y] = [a[key], b[key]];
    if (typeof x === 'number' && typeof y === 'number')
      expect(Math.abs(x - y), key).toBeLessThan(1e-6 * (1 + Math.abs(x)));
    else expect(x, key).toBe(y);
  }
}

const opposite = { same: 'antiphase', antiphase: 'same' } as Record<string, string>;
const angle = (degrees: number) => degrees - 360 * Math.round(degrees / 360);

describe('what is done to a recording changes exactly the figures it should', () => {
  test('scaling both: levels alone', () => {
    fc.assert(
      fc.property(drawn, fc.double({ min: 0.05, max: 5, noNaN: true }), ({ seed, common }, gain) => {
        const [a, b] = programme(seed, common);
        const before = measurePair(a, b, rate);
        const after = measurePair(times(a, gain), times(b, gain), rate);
        agree(before, after, ['mid', 'side']);
        for (const key of ['mid', 'side'] as const) expect(after[key]).toBeCloseTo(before[key] * gain, 9);
        expect(after.rms[0]).toBeCloseTo(before.rms[0] * gain, 9);
      }),
      runs,
    );
  });

  test('scaling the second: balance by the decibels, mid and side; nothing of how they relate', () => {
    fc.assert(
      fc.property(drawn, fc.double({ min: -12, max: 12, noNaN: true }), ({ seed, common }, db) => {
        const [a, b] = programme(seed, common);
        const before = measurePair(a, b, rate);
        const after = measurePair(a, times(b, 10 ** (db / 20)), rate);
        agree(before, after, ['mid', 'side', 'balance']);
        expect(after.balance! - before.balance!).toBeCloseTo(db, 9);
      }),
      runs,
    );
  });

  test('inverting the second: the sign of ρ, mid against side, 180° of phase, same against antiphase', () => {
    fc.assert(
      fc.property(drawn, ({ seed, common }) => {
        const [a, b] = programme(seed, common);
        const before = measurePair(a, b, rate);
        const after = measurePair(a, times(b, -1), rate);
        agree(before, after, ['correlation', 'mid', 'side', 'phase', 'relation']);
        expect(after.correlation).toBeCloseTo(-before.correlation!, 9);
        expect(after.mid).toBeCloseTo(before.side, 9);
        expect(after.side).toBeCloseTo(before.mid, 9);
        expect(Math.abs(angle(after.phase! - before.phase!))).toBeCloseTo(180, 6);
        expect(after.relation).toBe(opposite[before.relation] ?? before.relation);
      }),
      runs,
    );
  });

  test('swapping: balance, phase and delay change sign, levels change places', () => {
    fc.assert(
      fc.property(drawn, ({ seed, common }) => {
        const [a, b] = programme(seed, common);
        const before = measurePair(a, b, rate);
        const after = measurePair(b, a, rate);
        agree(before, after, ['balance', 'phase']);
        expect(after.balance).toBeCloseTo(-before.balance!, 9);
        expect(angle(after.phase! + before.phase!)).toBeCloseTo(0, 6);
        expect(after.rms).toEqual([before.rms[1], before.rms[0]]);
        expect(after.delay === null).toBe(before.delay === null);
        if (after.delay && before.delay) expect(after.delay.seconds).toBeCloseTo(-before.delay.seconds, 9);
      }),
      runs,
    );
  });

  test('delaying both: nothing; delaying the second of a like pair: the delay, ρ and the relation', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 2, max: 300 }), (seed, samples) => {
        const long = noiseOf(seed, frames + 600, 0.1);
        const at = (late: number) => long.slice(300 - late, 300 - late + frames);
        const both = measurePair(at(samples), at(samples), rate);
        expect([both.relation, both.correlation]).toEqual(['same', 1]);
        const late = measurePair(at(0), at(samples), rate);
        expect(late.relation).toBe('delayed');
        expect(late.delay!.seconds * rate).toBeCloseTo(samples, 2);
        expect(late.delay!.inverted).toBe(false);
        expect(late.balance).toBeCloseTo(0, 0);
      }),
      runs,
    );
  });

  test('DC on either: its own figure alone', () => {
    const [a, b] = programme(7, 0.6);
    const shifted = measurePair(
      a.map((value) => value + 0.3),
      b.map((value) => value - 0.2),
      rate,
    );
    const plain = measurePair(a, b, rate);
    agree(plain, shifted, []);
    expect(shifted.dc[0] - plain.dc[0]).toBeCloseTo(0.3, 9);
    expect(shifted.dc[1] - plain.dc[1]).toBeCloseTo(-0.2, 9);
  });

  test('the blocks a reader gives change nothing', () => {
    const [a, b] = programme(8, 0.5);
    const whole = measurePair(a, b, rate);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 9000 }), { minLength: 1, maxLength: 8 }), (sizes) => {
        const meter = new PairMeter(2, rate, frames);
        for (let at = 0, i = 0; at < frames; i++) {
          const take = sizes[i % sizes.length]!;
          meter.push([a.subarray(at, at + take), b.subarray(at, at + take)]);
          at += take;
        }
        agree(whole, meter.result()[0]!, []);
      }),
      { numRuns: 8, seed: 2, endOnFailure: true },
    );
  });

  test('of three channels each pair is what it is alone', () => {
    const [a, b] = programme(9, 0.5);
    const meter = new PairMeter(3, rate, frames);
    const c = times(a, -0.5);
    meter.push([a, b, c]);
    const pairs = meter.result();
    expect(pairs.map(({ pair }) => pair)).toEqual([
      [0, 1],
      [0, 2],
      [1, 2],
    ]);
    agree(pairs[0]!, measurePair(a, b, rate), []);
    expect(pairs[1]!.relation).toBe('antiphase');
    agree(pairs[2]!, measurePair(b, c, rate), []);
  });
});

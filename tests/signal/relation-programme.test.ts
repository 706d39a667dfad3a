import { describe, expect, test } from 'vitest';
import { measurePair } from '../../server/src/signal/pair';
import { noise, noiseOf, sum, times, uniform } from './make';

/*
 * Programme made up by a seed, as mixes are: voices of harmonics and of coloured noise, each panned by a sine law, some late on one
 * side, some through a chorus, some with an echo of their own a side, then widened; with hum the same on both, and hiss.
 */

const rate = 24_000;
type Pair = [Float64Array, Float64Array];

interface Programme {
  readonly pair: Pair;
  /** Second against first, dB. */
  readonly balance: number;
}

function programme(seed: number, widest: number): Programme {
  const draw = uniform(seed);
  const between = (low: number, high: number) => low + (high - low) * draw();
  const frames = Math.round(rate * between(0.15, 1));
  const pair: Pair = [new Float64Array(frames), new Float64Array(frames)];
  const voices = 1 + Math.floor(between(0, 5));
  for (let voice = 0; voice < voices; voice++) {
    const source = voiceOf(seed * 31 + voice, between, frames);
    const level = 10 ** (between(-25, 0) / 20);
    const pan = between(0, Math.PI / 2);
    const way = between(0, 3);
    if (way < 1) {
      const late = Math.round(between(-12, 12));
      add(pair, (n) => [Math.cos(pan) * source[n]!, Math.sin(pan) * (source[n - late] ?? 0)], level);
    } else if (way < 2) {
      const swing = between(0, 6);
      const depth = (n: number) => Math.round(20 + 15 * Math.sin((4.4 * n) / rate + swing));
      add(
        pair,
        (n) => [source[n]! + (source[n - depth(n)] ?? 0), source[n]! + (source[n - 40 + depth(n)] ?? 0)],
        level,
      );
    } else {
      const other = voiceOf(seed * 77 + voice, between, frames);
      add(pair, (n) => [source[n]!, other[n]!], level);
    }
  }
  const width = between(1, widest);
  const hum = draw() < 0.4 ? 10 ** (between(-60, 0) / 20) : 0;
  const hiss = 10 ** (between(-100, -10) / 20);
  const [left, right] = [noise(seed + 1e6), noise(seed + 2e6)];
  for (let n = 0; n < frames; n++) {
    const middle = (pair[0][n]! + pair[1][n]!) / 2 + hum * Math.sin((2 * Math.PI * 50 * n) / rate);
    const side = (width * (pair[0][n]! - pair[1][n]!)) / 2;
    pair[0][n] = middle + side + hiss * left();
    pair[1][n] = middle - side + hiss * right();
  }
  return { pair, balance: 20 * Math.log10(rmsOf(pair[1]) / rmsOf(pair[0])) };
}

const rmsOf = (samples: Float64Array) => Math.sqrt(samples.reduce((total, x) => total + (x * x) / samples.length, 0));

function add(pair: Pair, of: (n: number) => readonly [number, number], level: number): void {
  for (let n = 0; n < pair[0].length; n++) {
    const [left, right] = of(n);
    pair[0][n]! += level * left;
    pair[1][n]! += level * right;
  }
}

/** Eight harmonics that swell, or coloured noise. */
function voiceOf(seed: number, between: (low: number, high: number) => number, frames: number): Float64Array {
  const swell = between(1, 6);
  if (between(0, 2) < 1) {
    const fundamental = 50 * 2 ** between(0, 4.5);
    const phases = Array.from({ length: 8 }, () => between(0, 2 * Math.PI));
    return Float64Array.from({ length: frames }, (_, n) => {
      const t = n / rate;
      const envelope = 0.5 + 0.5 * Math.sin(2 * Math.PI * swell * t);
      return (
        phases.reduce((v, phase, h) => v + Math.sin(2 * Math.PI * (h + 1) * fundamental * t + phase) / (h + 1), 0) *
        envelope
      );
    });
  }
  const colour = between(0.2, 0.95);
  let low = 0;
  return noiseOf(seed, frames).map((value) => {
    low = colour * low + (1 - colour) * value;
    return 3 * low;
  });
}

const seeds = Array.from({ length: 60 }, (_, i) => i + 1);

test('programme mixed and widened twofold is never antiphase, while both sides are about as loud', () => {
  const found = seeds.flatMap((seed) => {
    const { pair, balance } = programme(seed, 2);
    return Math.abs(balance) < 6 && measurePair(...pair, rate).relation === 'antiphase' ? [seed] : [];
  });
  expect(found).toEqual([]);
});

describe('the same signal turned over is found, in noise of its own a side 20 dB below, 1 dB louder or softer', () => {
  test.each([
    [-1, 'antiphase'],
    [1, 'same'],
  ] as const)('sign %i: %s', (sign, relation) => {
    const missed = seeds.filter((seed) => {
      const [played] = programme(seed, 1).pair;
      const noisy = (other: number) => noiseOf(seed + other, played.length, 0.1 * rmsOf(played));
      const gain = 10 ** (((seed % 3) - 1) / 20);
      return (
        measurePair(sum(played, noisy(5000)), sum(times(played, sign * gain), noisy(6000)), rate).relation !== relation
      );
    });
    // One in thirty is let go: a short one whose strong octave holds too few segments.
    expect(missed.length).toBeLessThanOrEqual(2);
  });
});

test('a take of hum and hiss alone, at any level, is never antiphase where the hum is in phase', () => {
  for (const [mains, level] of [
    [50, 0.3],
    [60, 0.01],
    [50, 3e-4],
    [100, 1e-3],
  ] as const) {
    const hum = Float64Array.from({ length: rate }, (_, n) => level * Math.sin((2 * Math.PI * mains * n) / rate));
    for (const hiss of [1e-5, 1e-3, 1e-2]) {
      const take = [hum, times(hum, 0.7)].map((channel, c) => sum(channel, noiseOf(c + 1, rate, hiss)));
      expect(measurePair(take[0]!, take[1]!, rate).relation).not.toBe('antiphase');
    }
  }
});

test('unlike noise of any colour and length is never antiphase', () => {
  for (let seed = 1; seed <= 40; seed++) {
    const draw = uniform(seed);
    const between = (low: number, high: number) => low + (high - low) * draw();
    const frames = Math.round(2 ** between(6, 14));
    const coloured = (other: number) => {
      let low = 0;
      const colour = between(0, 0.995);
      return noiseOf(seed + other, frames).map((value) => {
        low = colour * low + value;
        return low;
      });
    };
    expect(['unrelated', 'partly', 'delayed', 'one-silent'], `seed ${seed}`).toContain(
      measurePair(coloured(100), coloured(200), rate).relation,
    );
  }
});

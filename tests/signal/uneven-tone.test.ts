import { describe, expect, test } from 'vitest';
import { measure } from '../../server/src/signal/measure';
import { memorySource } from '../../server/src/signal/source';
import { noise, noiseOf, uniform } from './make';

/** Rows as a logger writes them: times of their own, and channels as functions of time. */
const csv = (times: readonly number[], ...channels: ((t: number, n: number) => number)[]) =>
  new TextEncoder().encode(
    `Time (s),A (V),B (V)\n${times.map((t, n) => [t, ...channels.map((of) => of(t, n))].join(',')).join('\n')}\n`,
  );
const figures = async (bytes: Uint8Array, tone?: number) => {
  const outcome = await measure(memorySource(bytes), {
    format: 'csv',
    stimulus: tone === undefined ? null : { kind: 'tone', tone },
  });
  if ('error' in outcome) throw new Error(outcome.error);
  return outcome.figures;
};

const draw = uniform(3);
const step = 1e-4;
/** Ways in which rows come unevenly. */
const ways = {
  'every row off by up to 0.4 steps': Array.from({ length: 2000 }, (_, n) => (n + 0.8 * draw()) * step),
  'a third of the rows left out': Array.from({ length: 3000 }, (_, n) => n * step).filter(() => draw() > 1 / 3),
  'a gap of 50 ms': Array.from({ length: 2000 }, (_, n) => n * step + (n < 900 ? 0 : 0.05)),
  'a clock that runs ever slower': Array.from({ length: 2000 }, (_, n) => n * step * (1 + n / 20_000)),
} as const;
const turn = 2 * Math.PI;

describe.each(Object.entries(ways))('%s', (_, times) => {
  const [f, amplitude] = [317.3, 1.25];
  const wave = (t: number) =>
    0.2 +
    amplitude * Math.sin(turn * f * t + 0.3) +
    0.02 * Math.sin(turn * 2 * f * t + 1) +
    0.01 * Math.sin(turn * 3 * f * t + 2);
  const other = (t: number) => 0.5 * Math.sin(turn * f * t + 0.3 - Math.PI / 3);

  test.each([undefined, 318])('frequency, amplitude, phase, distortion and the pair (stated: %s)', async (stated) => {
    const { channels, pairs, stretch, warnings } = await figures(csv(times, wave, other), stated);
    expect(warnings.map(({ what }) => what)).toEqual(['uneven']);
    expect(warnings[0]!.text).toMatch(/fitted at the times as written/);
    const [first] = channels;
    const from = times[0]!;
    expect(first!.tone!.frequency).toBeCloseTo(f, 6);
    expect(first!.tone!.amplitude).toBeCloseTo(amplitude, 8);
    const phase = 0.3 + turn * f * from;
    expect(Math.cos((first!.tone!.phase * Math.PI) / 180 - phase)).toBeCloseTo(1, 9);
    expect(first!.thd).toBeCloseTo(20 * Math.log10(Math.hypot(0.02, 0.01) / amplitude), 5);
    expect(first!.sinad).toBeCloseTo(-first!.thd!, 5);
    // Fitted with three parameters, beside harmonics of 2 %.
    expect(Math.abs(pairs[0]!.phase! + 60)).toBeLessThan(0.02);
    expect(stretch!.frames).toBe(times.length);
    // What needs even samples is not given.
    for (const { noise: level, hum, combs, spurs, thdnAudio } of channels)
      expect([level, hum, combs, spurs, thdnAudio]).toEqual([null, null, [], [], null]);
    expect([pairs[0]!.delay, pairs[0]!.bands]).toEqual([null, []]);
  });
});

test('the deviations stated are those seen over a hundred noisy records (Cramér–Rao)', async () => {
  const times = ways['every row off by up to 0.4 steps'].slice(0, 400);
  const seen: { f: number; a: number; sdF: number; sdA: number }[] = [];
  for (let seed = 1; seed <= 100; seed++) {
    const hiss = noise(seed);
    const bytes = csv(
      times,
      (t) => Math.sin(turn * 317.3 * t) + 0.1 * hiss(),
      () => 0,
    );
    const tone = (await figures(bytes)).channels[0]!.tone!;
    seen.push({ f: tone.frequency, a: tone.amplitude, sdF: tone.sd.frequency, sdA: tone.sd.amplitude });
  }
  const mean = (of: (one: (typeof seen)[number]) => number) =>
    seen.reduce((sum, one) => sum + of(one), 0) / seen.length;
  const spread = (of: (one: (typeof seen)[number]) => number) => {
    const middle = mean(of);
    return Math.sqrt(mean((one) => (of(one) - middle) ** 2));
  };
  // A deviation of a hundred draws is itself known to 7 %: three of those.
  expect(Math.abs(spread(({ f }) => f) / mean(({ sdF }) => sdF) - 1)).toBeLessThan(0.22);
  expect(Math.abs(spread(({ a }) => a) / mean(({ sdA }) => sdA) - 1)).toBeLessThan(0.22);
  expect(Math.abs(mean(({ f }) => f) - 317.3)).toBeLessThan(4 * (mean(({ sdF }) => sdF) / 10));
});

test('noise and programme at uneven times are no tone', async () => {
  const hiss = noiseOf(5, 4000);
  const { channels, stretch } = await figures(
    csv(
      ways['every row off by up to 0.4 steps'],
      (_, n) => hiss[n]!,
      (_, n) => hiss[n + 2000]!,
    ),
  );
  expect(channels.map(({ tone }) => tone)).toEqual([null, null]);
  expect(stretch).toBeNull();
});

test('records that hold next to nothing give no figure and no throw', async () => {
  for (const times of [[0, 1, 5], [0, 0, 0, 1, 7, 8], [0, 1e-9, 1], Array.from({ length: 12 }, (_, n) => n ** 4)])
    for (const value of [() => 0, () => 1, (t: number) => t, (_: number, n: number) => (n % 2 ? 1 : -1)]) {
      const { channels } = await figures(csv(times, value, () => 0.5));
      for (const { tone, thd, rms } of channels) {
        expect(Number.isFinite(rms)).toBe(true);
        for (const figure of [tone?.frequency, tone?.amplitude, tone?.phase, thd])
          expect(figure == null || Number.isFinite(figure) || figure === Number.NEGATIVE_INFINITY).toBe(true);
      }
    }
});

import { describe, expect, test } from 'vitest';
import { openCsv } from '../../server/src/signal/csv';
import { measure } from '../../server/src/signal/measure';
import { memorySource } from '../../server/src/signal/source';
import { noiseOf, sine, sum } from './make';

/** What a converter of so many bits makes of samples (1 is half its range), as a scope prints it: code times volts a step. */
interface Converter {
  readonly bits?: number;
  readonly volts?: number;
  readonly lowest?: number;
  readonly offset?: number;
}
const csv = (samples: Float64Array, { bits = 8, volts = 0.02, lowest, offset = 0 }: Converter = {}) => {
  const half = 2 ** (bits - 1);
  const rows = Array.from(samples, (value, i) => {
    const code = Math.max(lowest ?? -half, Math.min(half - 1, Math.round(value * half)));
    return `${(i * 4e-6).toExponential(6)},${((code + offset) * volts).toExponential(3)}`;
  });
  return new TextEncoder().encode(`Time (s),CH1 (V)\n${rows.join('\n')}\n`);
};
const clipped = async (bytes: Uint8Array) => {
  const outcome = await measure(memorySource(bytes), { format: 'csv' });
  if ('error' in outcome) throw new Error(outcome.error);
  return { runs: outcome.figures.channels[0]!.clipped, warnings: outcome.figures.warnings.map(({ what }) => what) };
};

/** Nearly ten periods over 2500 points, the usual screen. */
const wave = (amplitude: number, seed = 0, noise = 0) =>
  sum(sine({ rate: 250_000, frames: 2500, frequency: 997, amplitude, phase: 0.3 }), noiseOf(seed, 2500, noise));

describe('where a scope ran out of codes', () => {
  test.each([
    ['twice too loud', 2, {}],
    ['5 % too loud, which arrives at a code a sample', 1.05, {}],
    ['12 bits', 1.3, { bits: 12, volts: 1e-3 }],
    ['its lowest code left out', 1.3, { lowest: -127 }],
    ['moved off zero by a third of the screen', 1.3, { offset: 43 }],
  ] as const)('%s: twenty runs, said', async (_, amplitude, converter) => {
    const { runs, warnings } = await clipped(csv(wave(amplitude), converter));
    expect(runs).toBe(20);
    expect(warnings).toContain('clipped');
  });

  test('on one side alone, the other far from its rail', async () => {
    const lifted = wave(0.8).map((value) => value + 0.4);
    expect((await clipped(csv(lifted))).runs).toBe(10);
  });

  test.each([
    ['that just fits', wave(0.996)],
    ['that just fits, in noise of a step', wave(0.98, 3, 1 / 128)],
    ['at half the screen', wave(0.5)],
    ['whose own flat tops lie inside the screen', wave(1).map((value) => Math.max(-0.6, Math.min(0.6, value)))],
  ])('never of a wave %s', async (_, samples) => {
    const { runs, warnings } = await clipped(csv(samples));
    expect(runs ?? 0).toBe(0);
    expect(warnings).not.toContain('clipped');
  });

  test('nor in noise of any level that does not reach the rails', async () => {
    for (const rms of [0.01, 0.1, 0.25])
      expect((await clipped(csv(noiseOf(9, 2500, rms).map((v) => Math.max(-0.98, Math.min(0.98, v)))))).runs ?? 0).toBe(
        0,
      );
  });
});

describe('over range in so many words (SCPI 1999: 9.9e37 is infinity, 9.91e37 no number)', () => {
  test.each(['9.9E37', '-9.9E+37', '9.91e37', '1e999', 'OL', 'inf', '****'])(
    '%s holds the value before',
    async (word) => {
      const rows = Array.from(
        { length: 50 },
        (_, i) => `${i},${i % 10 === 5 ? word : Math.round(100 * Math.sin(i)) / 100}`,
      );
      const bytes = new TextEncoder().encode(`Time (s),V\n${rows.join('\n')}\n`);
      const recording = await openCsv(memorySource(bytes));
      if ('error' in recording) throw new Error(recording.error);
      expect(recording.warnings.map(({ what }) => what)).toEqual(['gaps']);
      expect(recording.warnings[0]!.text).toMatch(/^5 cells/);
      const { max } = await measure(memorySource(bytes), { format: 'csv' }).then((outcome) => {
        if ('error' in outcome) throw new Error(outcome.error);
        return outcome.figures.channels[0]!;
      });
      expect(max).toBeLessThanOrEqual(1);
    },
  );
});

import { describe, expect, test } from 'vitest';
import type { RecordingFigures } from '../../server/src/signal/figures';
import { type MeasureRequest, measure } from '../../server/src/signal/measure';
import { renderSequence } from '../../server/src/signal/sequence';
import { memorySource } from '../../server/src/signal/source';
import { noiseOf, sum, times, wav } from './make';

const rate = 48000;
const [left, right] = renderSequence(rate, -12);
const lead = 30_000;

/** What a recorder hears: lead-in, noise, and whatever lies between. */
const heard = (first: Float64Array, second: Float64Array) =>
  [first, second].map((channel, c) => {
    const out = new Float64Array(lead + channel.length + 10_000);
    out.set(channel, lead);
    return sum(out, noiseOf(c + 1, out.length, 1e-4));
  });
async function figures(
  channels: readonly Float64Array[],
  request: Partial<MeasureRequest> = {},
): Promise<RecordingFigures> {
  const stimulus = { kind: 'all-in-one', level: -12 } as const;
  const outcome = await measure(memorySource(wav(channels, { bits: 24 })), { format: 'wav', stimulus, ...request });
  if ('error' in outcome) throw new Error(outcome.error);
  return outcome.figures;
}

describe('an all-in-one recording, measured', () => {
  test('healthy: its parts, each with its figures, and the table', async () => {
    const { sequence, warnings } = await figures(heard(left, right), {
      channels: [
        { plus: 1, scale: 2 },
        { plus: 2, scale: 2 },
      ],
    });
    expect(warnings).toEqual([]);
    expect(sequence!.start).toBeCloseTo(lead / rate, 4);
    expect(Math.abs(sequence!.drift!)).toBeLessThan(1);
    expect(sequence!.segments.map(({ name }) => name)).toEqual([
      'open-left',
      'open-right',
      'left',
      'right',
      'both',
      'opposed',
      'low-left',
      'low-right',
      'unlike',
      'silence',
      'close-right',
      'close-left',
    ]);
    const segment = (name: string) => sequence!.segments.find((one) => one.name === name)!;
    const amplitude = 2 * 10 ** (-12 / 20);
    expect(segment('left').stimulus).toEqual({ kind: 'tone', tone: 997, side: 'left', level: -12 });
    expect(segment('left').channels[0]!.tone!.amplitude).toBeCloseTo(amplitude, 4);
    expect(segment('left').channels[0]!.tone!.frequency).toBeCloseTo(997, 3);
    expect(segment('left').pair!.separation!.firstDriven).toBeGreaterThan(80);
    expect(segment('right').pair!.separation!.secondDriven).toBeGreaterThan(80);
    expect(segment('both').pair!.relation).toBe('same');
    expect(segment('opposed').pair!.relation).toBe('antiphase');
    expect(segment('unlike').pair!.relation).toBe('unrelated');
    expect(segment('silence').pair!.relation).toBe('both-silent');
    expect(segment('silence').channels[0]!.noise!.flat).toBeCloseTo(
      20 * Math.log10(2e-4) + 10 * Math.log10(19980 / 24000),
      0,
    );
    expect(segment('low-left').channels[0]!.tone!.frequency).toBeCloseTo(61, 2);
    expect(sequence!.table!.found).toEqual(['as-designed']);
  });

  test('a mono output on opposed legs', async () => {
    const half = times(sum(left, right), 0.5);
    const { sequence } = await figures(heard(half, times(half, -1)));
    const relation = (name: string) => sequence!.segments.find((one) => one.name === name)!.pair!.relation;
    expect([relation('left'), relation('both'), relation('unlike')]).toEqual(['antiphase', 'antiphase', 'antiphase']);
    expect(relation('opposed')).toBe('both-silent');
    expect(sequence!.table!.found).toContain('differential');
  });

  test('channels that stand for the other sides are taken as such', async () => {
    const channels = [
      { plus: 1, side: 'right' },
      { plus: 2, side: 'left' },
    ] as const;
    const { sequence } = await figures(heard(right, left), { channels });
    expect(sequence!.table!.found).toEqual(['as-designed']);
    const both = sequence!.segments.find((one) => one.name === 'left')!.pair!;
    expect(both.separation!.secondDriven).toBeGreaterThan(80);
  });

  test('one channel alone: parts, no table', async () => {
    const { sequence } = await figures(heard(left, right).slice(0, 1));
    expect(sequence!.table).toBeNull();
    expect(sequence!.segments.length).toBeGreaterThan(6);
  });

  test('deep in a long capture, beyond one window', async () => {
    const pause = 5_000_000;
    const channels = [left, right].map((channel) => {
      const out = new Float64Array(pause + channel.length + 1000);
      out.set(channel, pause);
      return out;
    });
    const { sequence } = await figures(channels);
    expect(sequence!.start).toBeCloseTo(pause / rate, 4);
    expect(sequence!.table!.found).toEqual(['as-designed']);
  });

  test('something else: said, not guessed', async () => {
    const { sequence, warnings } = await figures([noiseOf(1, 10 * rate, 0.1), noiseOf(2, 10 * rate, 0.1)]);
    expect(sequence).toBeNull();
    expect(warnings.find(({ what }) => what === 'no-sequence')!.text).toMatch(/not the all-in-one recording/);
  });
});

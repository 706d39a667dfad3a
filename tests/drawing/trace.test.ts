import { describe, expect, test } from 'vitest';
import { partWorthDrawing, readTrace, type TraceOutcome } from '../../server/src/drawing/trace';
import type { RecordingFigures } from '../../server/src/signal/figures';
import { measure } from '../../server/src/signal/measure';
import { memorySource } from '../../server/src/signal/source';
import { sine, wavBytes } from '../harness/wav';

const wav = { format: 'wav' as const };
const trace = (outcome: TraceOutcome) => {
  if (!('trace' in outcome)) throw new Error(outcome.error);
  return outcome.trace;
};

describe('a recording', () => {
  test('of few frames is drawn frame by frame, in volts where scaled', async () => {
    const source = memorySource(wavBytes([(t) => 0.5 * (t * 1000)], 0.001, 100_000));
    const drawn = trace(await readTrace(source, { ...wav, channels: [{ plus: 1, scale: 2, name: 'A' }] }));
    expect(drawn).toMatchObject({ from: 0, step: 1e-5, each: 1, timed: true });
    expect(drawn.channels[0]).toMatchObject({ name: 'A', unit: 'V' });
    // 50 steps of a ramp: 0.5 · n/100 of full scale, twice that in volts; 16 bits round to 1/32768.
    for (const [n, value] of drawn.channels[0]!.low.entries()) expect(value).toBeCloseTo(n / 100, 4);
  });

  test('of many is drawn by the extremes of columns: not one peak is lost', async () => {
    // One frame out of 48,000 at 0.9, another at −0.8; the rest is silent.
    const spike = (t: number) => (Math.round(t * 48000) === 31_007 ? 0.9 : Math.round(t * 48000) === 40_123 ? -0.8 : 0);
    const drawn = trace(await readTrace(memorySource(wavBytes([spike], 1)), wav));
    const { low, high } = drawn.channels[0]!;
    expect(drawn.each).toBe(Math.ceil(48000 / 360));
    const column = (frame: number) => Math.floor(frame / drawn.each);
    expect(high[column(31_007)]).toBeCloseTo(0.9, 4);
    expect(low[column(40_123)]).toBeCloseTo(-0.8, 4);
    expect([...high].filter((value) => value > 0)).toHaveLength(1);
    expect([...low].filter((value) => value < 0)).toHaveLength(1);
  });

  test('in part: the frames asked for, from their own time on', async () => {
    const source = memorySource(wavBytes([(t) => t], 0.5));
    const drawn = trace(await readTrace(source, { ...wav, part: { from: 0.1, to: 0.102 } }));
    expect(drawn.from).toBeCloseTo(0.1, 9);
    expect(drawn.channels[0]!.low).toHaveLength(97);
    expect(drawn.channels[0]!.low[0]).toBeCloseTo(0.1, 4);
    expect(drawn.channels[0]!.low.at(-1)).toBeCloseTo(0.102, 4);
  });

  test('as CSV, its columns by name', async () => {
    const rows = Array.from({ length: 50 }, (_, n) => `${n / 1000},${n},${-n}`);
    const csv = new TextEncoder().encode(`time (s),A (V),B (V)\n${rows.join('\n')}\n`);
    const drawn = trace(await readTrace(memorySource(csv), { format: 'csv', channels: [{ plus: 'B' }] }));
    expect(drawn.step).toBeCloseTo(0.001, 9);
    expect([...drawn.channels[0]!.low.slice(0, 3)].map((value) => value + 0)).toEqual([0, -1, -2]);
  });

  test('that is none, is too short, or has not the channel is refused in words', async () => {
    const bytes = (text: string) => memorySource(new TextEncoder().encode(text));
    expect(await readTrace(bytes('no recording'), wav)).toHaveProperty('error');
    expect(await readTrace(memorySource(wavBytes([() => 0], 1 / 48000)), wav)).toMatchObject({ error: /short/ });
    const source = memorySource(wavBytes([() => 0]));
    expect(await readTrace(source, { ...wav, channels: [{ plus: 3 }] })).toMatchObject({ error: /channel 3/ });
    const gone = { size: 1000, read: () => Promise.reject(new Error('it went away')) };
    expect(await readTrace(gone, wav)).toMatchObject({ error: /went away/ });
  });

  test('that is called off says so', async () => {
    const control = { cancelled: () => true, progress: () => {} };
    expect(await readTrace(memorySource(wavBytes([() => 0])), wav, control)).toMatchObject({ cancelled: true });
  });
});

describe('the part worth drawing', () => {
  const measured = async (...channels: Parameters<typeof wavBytes>[0]): Promise<RecordingFigures> => {
    const outcome = await measure(memorySource(wavBytes(channels, 1)), {
      ...wav,
      stimulus: { kind: 'tone', tone: 997 },
    });
    if (!('figures' in outcome)) throw new Error(outcome.error);
    return outcome.figures;
  };

  test('of a tone is three periods from a rising zero of the louder side', async () => {
    const figures = await measured(sine(997, 0.1), sine(997, 0.5, 73));
    const part = partWorthDrawing(figures)!;
    expect(part.to - part.from).toBeCloseTo(3 / 997, 7);
    const phase = ((2 * Math.PI * 997 * part.from + (73 * Math.PI) / 180) / (2 * Math.PI)) % 1;
    expect(Math.min(phase, 1 - phase)).toBeLessThan(1e-4);
  });

  test('of what has no tone is all of it', async () => {
    expect(partWorthDrawing(await measured(() => 0))).toBeUndefined();
  });
});

import { describe, expect, test } from 'vitest';
import { selectChannels } from '../../server/src/signal/select';
import { parts, renderSequence, sequenceSeconds } from '../../server/src/signal/sequence';
import { locate } from '../../server/src/signal/sequence-window';
import { noiseOf, recordingOf, sum } from './make';

const rate = 12_000;
const played = renderSequence(rate, -12);
/** The smallest window: two recordings' worth. */
const window = 2 * Math.ceil(1.01 * sequenceSeconds * rate);

/** A capture of `frames`, with the sequence from frame `at` on; what does not fit is not there. */
const capture = (frames: number, at: number) =>
  played.map((channel, c) => {
    const out = new Float64Array(frames);
    const from = Math.max(0, -at);
    out.set(channel.subarray(from, from + Math.max(0, frames - Math.max(0, at))), Math.max(0, at));
    return sum(out, noiseOf(c + 1, frames, 1e-4));
  });

const located = async (channels: readonly Float64Array[]) => {
  const recording = recordingOf(channels, rate);
  const sides = selectChannels(recording, undefined);
  if ('error' in sides) throw new Error(sides.error);
  const answer = await locate(recording, sides, undefined, 0);
  return 'error' in answer ? answer.error : { ...answer.found, at: answer.from + answer.found.start };
};

describe('a take in a capture longer than a window', () => {
  test.each([
    ['its opening chirps before the edge, the rest beyond', window - 2 * rate],
    ['half before the edge', window - Math.floor(played[0].length / 2)],
    ['cut off inside its last chirp', window - played[0].length + Math.floor(0.6 * rate)],
    ['whole, just before the edge', window - played[0].length - 10],
  ])('%s', async (_, at) => {
    const found = await located(capture(2.2 * window, at));
    if (typeof found === 'string') throw new Error(found);
    expect(found.at).toBeCloseTo(at, 0);
    expect(found.marks).toBe(4);
    expect(found.parts.length).toBe(parts.length);
    expect(Math.abs(found.drift!)).toBeLessThan(2);
  });

  test('where the capture itself ends within the take, what is there counts', async () => {
    const at = 1.5 * window - 7 * rate;
    const found = await located(capture(1.5 * window, at));
    if (typeof found === 'string') throw new Error(found);
    expect(found.at).toBeCloseTo(at, 0);
    expect(found.marks).toBe(2);
    expect(found.parts.map(({ name }) => name)).toEqual(['open-left', 'open-right', 'left', 'right']);
  });

  test('nothing there: said', async () => {
    expect(await located([noiseOf(1, 1.5 * window, 0.1), noiseOf(2, 1.5 * window, 0.1)])).toMatch(/no sync chirp/);
  });
});

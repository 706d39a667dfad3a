import { describe, expect, test } from 'vitest';
import { renderSequence } from '../../server/src/signal/sequence';
import { findSequence } from '../../server/src/signal/sequence-finder';
import { stereoTable } from '../../server/src/signal/stereo-measure';
import { noiseOf, sum, times } from './make';

const rate = 16_000;
const [left, right] = renderSequence(rate, -12);
const late = (samples: Float64Array, frames: number) => {
  const out = new Float64Array(samples.length);
  out.set(samples.subarray(0, samples.length - frames), frames);
  return out;
};
const through = async (of: (samples: Float64Array) => Float64Array, noise = 1e-4) => {
  const channels = [left, right].map((samples, c) => sum(of(samples), noiseOf(c + 1, samples.length, noise)));
  const answer = await findSequence(channels, rate);
  if ('error' in answer) throw new Error(answer.error);
  return stereoTable(answer.found, channels, rate)!;
};

describe('an echo in one take of the all-in-one recording', () => {
  test.each([
    ['5 ms, 12 dB below', 0.005, 0.25, 1e-4],
    ['30 ms, 6 dB below, inverted', 0.03, -0.5, 1e-4],
    ['150 ms, 20 dB below', 0.15, 0.1, 1e-4],
    ['2 ms, 10 dB below, in noise 20 dB below the tone', 0.002, 0.316, 0.018],
  ])('%s', async (_, delay, gain, noise) => {
    const frames = Math.round(delay * rate);
    const table = await through((samples) => sum(samples, times(late(samples, frames), gain)), noise);
    expect(table.echo!.delay).toBeCloseTo(frames / rate, 4);
    expect(Math.abs(table.echo!.level - 20 * Math.log10(Math.abs(gain)))).toBeLessThan(0.5);
    expect(table.echo!.inverted).toBe(gain < 0);
    expect(table.found).toContain('echo');
  });

  test('none where there is none: clean, noisy, inverted, or through filters that ring on', async () => {
    const lowPass = (samples: Float64Array) => {
      let low = 0;
      return samples.map((x) => {
        low += 0.2 * (x - low);
        return low;
      });
    };
    // A resonance at 2 kHz of Q 20 (bandwidth 100 Hz), beside what passes it by.
    const ringing = (samples: Float64Array) => {
      const r = Math.exp((-Math.PI * 100) / rate);
      const c = 2 * r * Math.cos((2 * Math.PI * 2000) / rate);
      let [one, two] = [0, 0];
      return samples.map((x) => {
        const y = 0.02 * x + c * one - r * r * two;
        [one, two] = [y, one];
        return x + y;
      });
    };
    for (const [of, noise] of [
      [(s: Float64Array) => s, 1e-6],
      [(s: Float64Array) => s, 0.018],
      [(s: Float64Array) => times(s, -0.3), 1e-4],
      [lowPass, 1e-5],
      [ringing, 1e-5],
    ] as const) {
      const table = await through(of, noise);
      expect(table.echo).toBeNull();
      expect(table.found).not.toContain('echo');
    }
  });
});

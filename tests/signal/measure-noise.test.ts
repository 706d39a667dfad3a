import { describe, expect, test } from 'vitest';
import type { Stimulus } from '../../server/src/signal/figures';
import { noiseOf, sum } from './make';
import { figures, rate, tone } from './measured';

describe('noise', () => {
  const levels = async (samples: Float64Array, stimulus: Stimulus | null = { kind: 'silence' }) =>
    (await figures([samples], { stimulus }, { bits: 16 })).channels[0]!.noise!;

  test('16-bit TPDF dither at 48 kHz: −93.32 dBFS to half the rate, A-weighted −96.16 (computed)', async () => {
    const lsb = 2 ** -15;
    const frames = 10 * rate;
    const draws = noiseOf(11, 2 * frames, 1).map((x) => 0.5 * (1 + erf(x / Math.SQRT2)));
    const dithered = Float64Array.from(
      { length: frames },
      (_, n) => Math.round(draws[2 * n]! + draws[2 * n + 1]! - 1 + 0.25) * lsb,
    );
    const noise = await levels(dithered);
    // 20 Hz to 20 kHz of the 24 kHz that hold −93.3193.
    expect(noise.flat).toBeCloseTo(-93.3193 + 10 * Math.log10(19980 / 24000), 1);
    expect(noise.A).toBeCloseTo(-96.16, 1);
    expect(noise.from).toBe('recording');
  });

  test('beside a tone: what tone and harmonics leave', async () => {
    const quiet = noiseOf(12, 4 * rate, 1e-3);
    const alone = await levels(quiet);
    const under = await levels(sum(quiet, tone(4 * rate), tone(4 * rate, 0.01, 1, 1994)), null);
    expect(under.from).toBe('residual');
    expect(under.flat).toBeCloseTo(alone.flat, 1);
    expect(under.A).toBeCloseTo(alone.A, 1);
  });

  test('white noise: A-weighting −2.048 dB, CCIR-RMS +1.672 dB against flat (computed)', async () => {
    const noise = await levels(noiseOf(13, 20 * rate, 1e-2));
    expect(noise.A - noise.flat).toBeCloseTo(-2.048, 1);
    expect(noise.ccirRms - noise.flat).toBeCloseTo(1.672, 1);
  });

  test('programme is no noise', async () => {
    expect((await figures([noiseOf(14, rate)], { stimulus: { kind: 'programme' } })).channels[0]!.noise).toBeNull();
  });
});

describe('hum', () => {
  const frames = 4 * rate;
  const comb = (fundamental: number, amplitude: number) =>
    sum(...[1, 2, 3, 5].map((m) => tone(frames, amplitude / m, m, m * fundamental)));
  const quiet = noiseOf(21, frames, 1e-5);
  const power = (amplitude: number) => (amplitude ** 2 / 2) * (1 + 1 / 4 + 1 / 9 + 1 / 25);

  test('in silence, relative to a full-scale sine, with its lines as one comb', async () => {
    const { channels, stretch } = await figures([sum(comb(50.02, 1e-3), quiet)], { stimulus: { kind: 'silence' } });
    expect(channels[0]!.hum).toBeCloseTo(10 * Math.log10(2 * power(1e-3)), 1);
    const [found] = channels[0]!.combs;
    expect(found!.lines).toEqual([1, 2, 3, 5]);
    expect(found!.interval[0]).toBeLessThan(50.02);
    expect(found!.interval[1]).toBeGreaterThan(50.02);
    expect(found!.names).toEqual(['50 Hz mains hum']);
    expect(stretch!.text).toMatch(/^Lines and fine spectra/);
  });
  test('beside a tone, relative to the tone, and the tone is no part of it', async () => {
    const { channels } = await figures([sum(comb(60, 1e-3), tone(frames), quiet)]);
    expect(channels[0]!.hum).toBeCloseTo(10 * Math.log10(power(1e-3) / (0.25 ** 2 / 2)), 1);
    expect(channels[0]!.combs[0]!.names).toEqual(['60 Hz mains hum']);
  });
  test('loud hum with nothing stated is still called hum', async () => {
    const { channels } = await figures([sum(comb(50, 0.1), quiet)]);
    expect(channels[0]!.hum).toBeCloseTo(10 * Math.log10(2 * power(0.1)), 1);
  });
  test('a single line is a spur, no hum; clean silence has neither', async () => {
    const line = (await figures([sum(tone(frames, 1e-3, 0, 100), quiet)], { stimulus: { kind: 'silence' } }))
      .channels[0]!;
    expect(line.hum).toBeNull();
    expect(line.spurs.length).toBe(1);
    expect(line.spurs[0]!.frequency).toBeCloseTo(100, 2);
    expect(line.spurs[0]!.level).toBeCloseTo(-60, 1);
    const clean = (await figures([quiet], { stimulus: { kind: 'silence' } })).channels[0]!;
    expect([clean.hum, clean.combs, clean.spurs]).toEqual([null, [], []]);
  });
  test('programme has none', async () => {
    const { channels } = await figures([sum(comb(50, 1e-2), quiet)], { stimulus: { kind: 'programme' } });
    expect([channels[0]!.hum, channels[0]!.combs]).toEqual([null, []]);
  });
});

/** Abramowitz & Stegun 7.1.26, good to 1.5e-7: enough to make even draws of Gaussian ones. */
function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x));
  const y =
    1 -
    ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t * Math.exp(-x * x);
  return x < 0 ? -y : y;
}

import { describe, expect, test } from 'vitest';
import { combed } from '../../../server/src/diagnosis/causes/sources';
import { noiseOf, sum, times } from '../../signal/make';
import { nameOf } from './bench';
import { capture, coupled, db, diagnosed, frames, rate } from './coupled';

/*
 * Noise and sweeps, seen octave by octave. Recordings by the arithmetic of the comb (null at 1/(2τ), spacing 1/τ; reference table of
 * output stages) and of the first-order high-pass, in the time domain.
 */
const hiss = (seed: number) => noiseOf(seed, frames, 1e-5);
/** RMS over full scale as 1 V · 5000/5490 at −12 dBFS, on a recorder of 2 V. */
const rms = ((5000 / 5490) * db(-12)) / 2;
const played = (seed: number) => noiseOf(seed, frames, rms);
const late = (clean: Float64Array, by: number, samples: number) =>
  clean.map((value, n) => value + by * clean[(n - samples + frames) % frames]!);
const noise = (side: string, scaled: boolean) =>
  coupled(capture('noise', `noise: white, side: ${side}, level: -12 dBFS`, scaled));
const share = (causes: Awaited<ReturnType<typeof diagnosed>>['causes'], wanted: string) =>
  causes.filter(({ cause }) => cause === wanted).reduce((all, { probability }) => all + probability, 0);

describe('an echo', () => {
  test.each([
    ['of 1 ms', 48, 0.7],
    ['of half a millisecond', 24, 0.5],
    ['of a quarter of a millisecond', 12, 1],
  ])('%s shows by its comb, from a recording nobody has scaled', async (_, samples, by) => {
    const clean = late(played(1), by, samples);
    const { causes } = await diagnosed(noise('both', false), { noise: [sum(clean, hiss(2)), sum(clean, hiss(3))] });
    expect(causes[0]!.cause).toBe('echo');
    expect(causes[0]!.probability).toBeGreaterThan(0.9);
    expect(causes[0]!.figure).toMatch(/[mµ]s late/);
  });

  test('is not what a lower level without a comb is', async () => {
    const low = times(played(1), db(-6));
    const { causes } = await diagnosed(noise('both', true), { noise: [sum(low, hiss(2)), sum(low, hiss(3))] });
    expect(causes[0]!.cause).toBe('misprobed');
    expect(share(causes, 'echo')).toBeLessThan(0.01);
  });

  test('nor is plain noise: as designed', async () => {
    const [left, right] = [played(1), played(2)];
    const { causes } = await diagnosed(noise('unlike', true), { noise: [left, right] });
    expect(causes[0]).toMatchObject({ cause: 'as-designed', leaves: [] });
  });

  test('under an exponential sweep', async () => {
    // 20 Hz to 20 kHz in as long as the recording takes: φ = 2π·f·T/ln(1000)·(1000^(t/T) − 1).
    const seconds = frames / rate;
    const sweep = Float64Array.from({ length: frames }, (_, n) => {
      const phase = ((2 * Math.PI * 20 * seconds) / Math.log(1000)) * (1000 ** (n / frames) - 1);
      return rms * Math.SQRT2 * Math.sin(phase);
    });
    const text = coupled(capture('sweep', 'sweep', false).replace('{sweep}', 'sweep'));
    const clean = await diagnosed(text, { sweep: [sum(sweep, hiss(2)), sum(sweep, hiss(3))] });
    expect(clean.causes[0]!.cause).toBe('as-designed');
    const twice = late(sweep, 0.7, 24);
    const { causes } = await diagnosed(text, { sweep: [sum(twice, hiss(2)), sum(twice, hiss(3))] });
    expect(causes[0]!.cause).toBe('echo');
  });

  // The mean of |1 + a·e^(−jωτ)|² by counting, for an octave with a null in it and one with many.
  test.each([
    [0.7, 1e-3, [355, 708]],
    [1, 5e-3, [1413, 2818]],
  ] as const)('its comb averaged over an octave: a %f, τ %f s', (by, seconds, octave) => {
    const steps = 20000;
    let total = 0;
    for (let k = 0; k < steps; k++) {
      const angle = 2 * Math.PI * (octave[0] + ((k + 0.5) / steps) * (octave[1] - octave[0])) * seconds;
      total += (1 + by * Math.cos(angle)) ** 2 + (by * Math.sin(angle)) ** 2;
    }
    expect(combed(by, seconds, octave)).toBeCloseTo(Math.sqrt(total / steps), 6);
  });
});

test('a coupling capacitor with a hundredth of its value shows by the slope of one side', async () => {
  // 220 nF into 490 Ω + 5 k: a corner at 132 Hz (1/(2π·R·C)).
  const tau = 5490 * 220e-9;
  const alpha = tau / (tau + 1 / rate);
  const [left, right] = [played(1), played(2)];
  const thin = new Float64Array(frames);
  for (let n = 1; n < frames; n++) thin[n] = alpha * (thin[n - 1]! + right[n]! - right[n - 1]!);
  const { causes } = await diagnosed(noise('unlike', false), { noise: [left, thin] });
  expect(['aged C2', 'wrong-value C2']).toContain(nameOf(causes[0]!));
  const own = causes.filter(({ at }) => at[0] === 'C2').reduce((all, { probability }) => all + probability, 0);
  expect(own).toBeGreaterThan(0.9);
});

test('a late side is told by its delay, and how late', async () => {
  const clean = played(1);
  const behind = clean.map((_, n) => clean[(n - 11 + frames) % frames]!);
  const { causes } = await diagnosed(noise('both', true), { noise: [clean, behind] });
  expect(nameOf(causes[0]!)).toBe('delayed U1.2');
  // 11 frames at 48 kHz are 0.229 ms.
  expect(causes[0]!.figure).toBe('about 229 µs');
});

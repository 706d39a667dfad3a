import { describe, expect, test } from 'vitest';
import { measureRecording } from '../../server/src/signal/measure';
import { QuasiPeakMeter, quasiPeakOf } from '../../server/src/signal/quasi-peak';
import { response468, weightings } from '../../server/src/signal/weighting';
import { noiseOf, recordingOf, sine, sum, times } from './make';
import { figures } from './measured';

const db = (ratio: number) => 20 * Math.log10(ratio);

/** A 5 kHz tone that is on for `on` seconds from every multiple of `every` on, starting at a zero crossing. */
const bursts = (rate: number, seconds: number, on: number, every = Number.POSITIVE_INFINITY, from = 0) =>
  Float64Array.from({ length: seconds * rate }, (_, n) => {
    const t = n / rate - from;
    const since = Number.isFinite(every) ? t % every : t;
    return t >= 0 && since < on ? 0.1 * Math.sin(2 * Math.PI * 5000 * since) : 0;
  });
const highest = (samples: Float64Array, rate: number) => quasiPeakOf(samples, rate)!.highest;

/*
 * ITU-R BS.468-4, tables 2 and 3 (from memory): reading in per cent of what the steady tone reads, and the limits of it.
 */
const single = [
  [1, 17.0, 13.5, 21.4],
  [2, 26.6, 22.4, 31.6],
  [5, 40, 34, 46],
  [10, 48, 41, 55],
  [20, 52, 44, 60],
  [50, 59, 50, 68],
  [100, 68, 58, 78],
  [200, 80, 68, 92],
] as const;
const repeated = [
  [2, 48, 43, 53],
  [10, 77, 72, 82],
  [100, 97, 94, 100],
] as const;

describe.each([44100, 48000, 96000])('bursts of 5 kHz at %i Hz (ITU-R BS.468-4)', (rate) => {
  const steady = highest(bursts(rate, 3, 3), rate);
  test.each(single)('one of %i ms', (ms, reading, low, high) => {
    const shown = (100 * highest(bursts(rate, 2, ms / 1000, undefined, 0.5), rate)) / steady;
    expect(shown).toBeGreaterThan(low);
    expect(shown).toBeLessThan(high);
    expect(Math.abs(db(shown / reading))).toBeLessThan(0.2);
  });
  test.each(repeated)('of 5 ms, %i a second', (times, reading, low, high) => {
    const shown = (100 * highest(bursts(rate, 4, 0.005, 1 / times), rate)) / steady;
    expect(shown).toBeGreaterThan(low);
    expect(shown).toBeLessThan(high);
    expect(Math.abs(db(shown / reading))).toBeLessThan(0.2);
  });
});

describe('the whole instrument', () => {
  /** ITU-R BS.468-4, table 1: response and tolerance, dB. */
  const table = [
    [31.5, -29.9, 2],
    [63, -23.9, 1.4],
    [100, -19.8, 1],
    [200, -13.8, 0.85],
    [400, -7.8, 0.7],
    [800, -1.9, 0.55],
    [1000, 0, 0.5],
    [2000, 5.6, 0.5],
    [3150, 9, 0.5],
    [4000, 10.5, 0.5],
    [5000, 11.7, 0.5],
    [6300, 12.2, 0.05],
    [7100, 12, 0.2],
    [8000, 11.4, 0.4],
    [9000, 10.1, 0.6],
    [10000, 8.1, 0.8],
    [12500, 0, 1.2],
    [14000, -5.3, 1.4],
    [16000, -11.7, 1.6],
    [20000, -22.2, 2],
  ] as const;
  test.each(table)('%f Hz reads as table 1 has it', (frequency, response, tolerance) => {
    const rate = 48000;
    const shown = quasiPeakOf(sine({ rate, frames: 2 * rate, frequency, amplitude: 0.1 }), rate)!;
    const level = db((shown.highest * Math.SQRT2) / 0.1);
    // Half of it: the rest is the printed digit's.
    expect(Math.abs(level - response)).toBeLessThan(Math.max(0.06, tolerance / 8));
    expect(Math.abs(db(shown.typical / shown.highest))).toBeLessThan(0.1);
  });

  test('its response with phase is the curve, and that of a network that answers after it is asked', () => {
    for (const f of [20, 440, 1000, 6300, 20000]) {
      const { re, im } = response468(f);
      expect(Math.hypot(re, im)).toBeCloseTo(weightings.bs468.gain(f), 12);
    }
    // Numerator s: a quarter turn ahead at the bottom; six poles: two and a half half-turns behind it far above.
    expect(Math.atan2(response468(1).im, response468(1).re)).toBeCloseTo(Math.PI / 2, 2);
    expect(Math.atan2(response468(1e7).im, response468(1e7).re)).toBeCloseTo(-Math.PI / 2, 2);
  });

  test('neither polarity nor DC matters, level does in proportion (full-wave, no overload)', () => {
    const rate = 48000;
    const samples = sum(noiseOf(3, 2 * rate, 1e-3), bursts(rate, 2, 0.001, 0.2));
    const plain = quasiPeakOf(samples, rate)!;
    expect(highest(times(samples, -1), rate)).toBeCloseTo(plain.highest, 12);
    expect(highest(sum(samples, new Float64Array(2 * rate).fill(0.3)), rate)).toBeCloseTo(plain.highest, 9);
    expect(highest(times(samples, 10), rate)).toBeCloseTo(10 * plain.highest, 12);
  });

  test('in blocks of any length it reads the same', () => {
    const samples = noiseOf(4, 100_000, 0.1);
    const meter = new QuasiPeakMeter(48000);
    for (let at = 0, length = 1; at < samples.length; at += length, length = (length * 7) % 9973)
      meter.push(samples.subarray(at, at + length));
    expect(meter.result()).toEqual(quasiPeakOf(samples, 48000));
  });

  test('noise reads higher than its weighted RMS, ticks higher still, and one click moves the highest alone', () => {
    const rate = 48000;
    const hiss = noiseOf(5, 10 * rate, 1e-3);
    const rms = 1e-3 * 10 ** (7.301 / 20) * Math.sqrt(19980 / 24000); // white, 20 Hz–20 kHz (computed)
    const plain = quasiPeakOf(hiss, rate)!;
    // Gaussian noise: some 4 to 5 dB over its RMS. Common practice, no source.
    expect(db(plain.typical / rms)).toBeGreaterThan(3.5);
    expect(db(plain.typical / rms)).toBeLessThan(5.5);
    const clicked = hiss.slice();
    for (let n = 0; n < 48; n++) clicked[5 * rate + n]! += 0.1 * Math.sin((2 * Math.PI * 5000 * n) / rate);
    const click = quasiPeakOf(clicked, rate)!;
    expect(db(click.highest / plain.highest)).toBeGreaterThan(6);
    expect(Math.abs(db(click.typical / plain.typical))).toBeLessThan(0.3);
  });

  test('too short to settle, too fast to be audio, nothing at all', () => {
    expect(quasiPeakOf(noiseOf(1, 48000), 48000)).toBeNull();
    expect(quasiPeakOf(noiseOf(1, 48000), 1e9)).toBeNull();
    expect(quasiPeakOf(new Float64Array(0), 48000)).toBeNull();
    expect(quasiPeakOf(new Float64Array(100_000), 48000)).toEqual({ highest: 0, typical: 0 });
  });
});

test('among the figures: of silence over all of it, beside a tone of what the tone leaves', async () => {
  const rate = 48000;
  const hiss = noiseOf(7, 3 * rate, 1e-3);
  const expected = db(quasiPeakOf(hiss, rate)!.typical * Math.SQRT2);
  const silent = await figures([hiss], { stimulus: { kind: 'silence' } });
  expect(silent.channels[0]!.noise!.bs468!.typical).toBeCloseTo(expected, 2);
  const beside = sum(hiss, sine({ rate, frames: 3 * rate, frequency: 997, amplitude: 0.25 }));
  expect((await figures([beside])).channels[0]!.noise!.bs468!.typical).toBeCloseTo(expected, 1);
  const short = await figures([hiss.subarray(0, rate)], { stimulus: { kind: 'silence' } });
  expect(short.channels[0]!.noise!.flat).toBeLessThan(-50);
  expect(short.channels[0]!.noise!.bs468).toBeNull();
});

test('over two minutes that are nowhere held whole: a click in the middle is the highest, hiss the typical', async () => {
  const rate = 48000;
  const blocks = 88;
  const hiss = noiseOf(8, 1 << 16, 1e-3);
  const clicked = hiss.slice();
  for (let n = 0; n < 48; n++) clicked[30_000 + n]! += 0.1 * Math.sin((2 * Math.PI * 5000 * n) / rate);
  const recording = {
    ...recordingOf([hiss], rate),
    frames: blocks << 16,
    async *blocks(from = 0) {
      for (let block = from >> 16; block < blocks; block++)
        yield [(block === 40 ? clicked : hiss).subarray(from >> 16 === block ? from % (1 << 16) : 0)];
    },
  };
  const outcome = await measureRecording(recording, { format: 'wav', stimulus: { kind: 'silence' } });
  if ('error' in outcome) throw new Error(outcome.error);
  const { highest, typical } = outcome.figures.channels[0]!.noise!.bs468!;
  expect(Math.abs(typical - db(quasiPeakOf(hiss, rate)!.typical * Math.SQRT2))).toBeLessThan(0.1);
  expect(highest - typical).toBeGreaterThan(6);
});

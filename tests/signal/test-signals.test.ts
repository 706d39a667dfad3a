import { describe, expect, test } from 'vitest';
import { levels, loudnessCaution, rates, testSignals } from '../../server/src/signal/test-signals';
import { wavBytes } from '../../server/src/signal/wav-writer';
import { noiseOf, sine } from './make';

const rms = (x: Float64Array) => Math.sqrt(x.reduce((total, value) => total + value * value, 0) / x.length);
const peak = (x: Float64Array) => x.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
/** Equal sample by sample; comparing long arrays one expectation at a time would take seconds. */
const same = (a: Float64Array, b: Float64Array) => a.length === b.length && a.every((value, n) => value === b[n]);
const inside = (x: Float64Array) => x.subarray(2000, x.length - 2000);
const signal = (name: string) => testSignals.find((one) => one.name === name)!;

describe('test signals', () => {
  test('are the seven and the all-in-one', () => {
    expect(testSignals.map(({ name }) => name)).toEqual([
      'left',
      'right',
      'both',
      'opposed',
      'unlike',
      'silence',
      'sweep',
      'all-in-one',
    ]);
    for (const { shows, seconds, stimulus, name } of testSignals) {
      expect(shows).toMatch(/\.$/);
      expect(seconds).toBeGreaterThan(2);
      expect(stimulus.side ?? stimulus.kind).toBe(name === 'sweep' ? 'both' : name);
    }
  });

  test.each(testSignals)('$name is as loud as asked, the same on every run, and starts and ends in silence', (one) => {
    const [left, right] = one.render(48000, -20);
    const again = one.render(48000, -20);
    expect(again.map((x, c) => same(x, [left, right][c]!))).toEqual([true, true]);
    expect(left.length).toBe(Math.round(one.seconds * 48000));
    for (const x of [left, right]) {
      expect(Math.abs(x[0]!)).toBeLessThan(1e-3);
      expect(Math.abs(x.at(-1)!)).toBeLessThan(1e-3);
      // A full-scale sine is 0 dBFS (AES17); noise peaks three deviations up.
      expect(peak(x)).toBeLessThan(0.1 * (one.name === 'unlike' || one.name === 'all-in-one' ? 2.2 : 1.0001));
    }
    if (one.stimulus.kind === 'tone' || one.stimulus.kind === 'noise')
      for (const [x, driven] of [
        [left, one.stimulus.side !== 'right'],
        [right, one.stimulus.side !== 'left'],
      ] as const)
        if (driven) expect(20 * Math.log10(rms(inside(x)) * Math.SQRT2)).toBeCloseTo(-20, 1);
        else expect(peak(x)).toBe(0);
  });

  test.each([44100, 96000])('no level and no rate clips: %i Hz at the most allowed', (rate) => {
    for (const one of testSignals) for (const x of one.render(rate, levels.most)) expect(peak(x)).toBeLessThan(0.97);
  });

  test('both, opposed and unlike are what they say', () => {
    const both = signal('both').render(48000, -12);
    expect(same(both[0], both[1])).toBe(true);
    const opposed = signal('opposed').render(48000, -12);
    expect(opposed[0].every((value, n) => value + opposed[1][n]! === 0)).toBe(true);
    const [a, b] = signal('unlike').render(48000, -12);
    const rho = a.reduce((total, value, n) => total + value * b[n]!, 0) / (rms(a) * rms(b) * a.length);
    // Unrelated white noise: 1/√N.
    expect(Math.abs(rho)).toBeLessThan(4 / Math.sqrt(a.length));
  });

  test('the sweep rises from 20 Hz to 20 kHz an octave a second, or to 0.45 of a lower rate', () => {
    const crossings = (x: Float64Array, from: number, to: number) => {
      let count = 0;
      for (let n = from + 1; n < to; n++) if (x[n - 1]! < 0 !== x[n]! < 0) count++;
      return count / 2 / ((to - from) / 48000);
    };
    const [x] = signal('sweep').render(48000, -12);
    expect(crossings(x, 0, 48000)).toBeGreaterThan(20);
    expect(crossings(x, 0, 48000)).toBeLessThan(41);
    expect(crossings(x, 9.9 * 48000, 10 * 48000)).toBeGreaterThan(18500);
    const half = crossings(x, 4.95 * 48000, 5.05 * 48000);
    expect(half).toBeCloseTo(Math.sqrt(20 * 20000), -1.5);
    const slow = signal('sweep').render(rates.least, -12)[0];
    expect(peak(slow)).toBeGreaterThan(0.24);
  });

  test('says what to write as the stimulus, and warns', () => {
    expect(signal('left').written(-12)).toBe('{tone: 997 Hz, side: left, level: -12 dBFS}');
    expect(signal('unlike').written(-12)).toBe('{noise: white, side: unlike, level: -12.0 dBFS}');
    // Louder than its peaks allow, noise is held back and says so.
    expect(signal('unlike').written(-3)).toBe('{noise: white, side: unlike, level: -7.0 dBFS}');
    expect(signal('silence').written(-12)).toBe('silence');
    expect(loudnessCaution).toMatch(/headphones/);
  });
});

describe('WAV bytes', () => {
  const header = (bytes: Uint8Array) => {
    const view = new DataView(bytes.buffer);
    const text = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
    return {
      marks: [text(0), text(8), text(12), text(36)],
      sizes: [view.getUint32(4, true), view.getUint32(16, true), view.getUint32(40, true)],
      format: [20, 22, 32, 34].map((at) => view.getUint16(at, true)),
      rates: [24, 28].map((at) => view.getUint32(at, true)),
    };
  };

  test.each([16, 24] as const)('header of %i bits (RIFF WAVE, PCM)', (bits) => {
    const bytes = wavBytes([new Float64Array(100), new Float64Array(100)], 44100, bits);
    const align = (2 * bits) / 8;
    expect(header(bytes)).toEqual({
      marks: ['RIFF', 'WAVE', 'fmt ', 'data'],
      sizes: [bytes.length - 8, 16, 100 * align],
      format: [1, 2, align, bits],
      rates: [44100, 44100 * align],
    });
  });

  test('an odd number of bytes is padded', () => {
    const bytes = wavBytes([new Float64Array(3)], 48000, 24);
    expect(bytes.length).toBe(44 + 10);
    expect(header(bytes).sizes[2]).toBe(9);
  });

  test('24 bits: both signs by 2^23, held at the rails', () => {
    const bytes = wavBytes([Float64Array.of(0, 1, -1, 2, -2, 0.5, -(2 ** -23))], 48000, 24);
    const view = new DataView(bytes.buffer);
    const codes = Array.from(
      { length: 7 },
      (_, n) => view.getUint16(44 + 3 * n, true) + view.getInt8(46 + 3 * n) * 65536,
    );
    expect(codes).toEqual([0, 2 ** 23 - 1, -(2 ** 23), 2 ** 23 - 1, -(2 ** 23), 2 ** 22, -1]);
  });

  const decode16 = (bytes: Uint8Array) => new Int16Array(bytes.buffer, 44);

  test('16 bits: silence stays silence, and the dither is the same every time', () => {
    expect(decode16(wavBytes([new Float64Array(1000)], 48000, 16)).every((code) => code === 0)).toBe(true);
    const tone = sine({ rate: 48000, frames: 1000, frequency: 997, amplitude: 0.1, phase: 0.1 });
    expect(wavBytes([tone], 48000, 16)).toEqual(wavBytes([tone], 48000, 16));
    expect(wavBytes([tone], 48000, 16, 2)).not.toEqual(wavBytes([tone], 48000, 16, 1));
  });

  // Re a full-scale sine: q²/12 of rounding, q²/4 with triangular dither of two steps. Closed forms.
  test('noise floors: 16 bits dithered −93.32 dBFS, 24 bits −146.26 dBFS', () => {
    const frames = 200_000;
    const x = noiseOf(7, frames, 0.05);
    const floor = (errors: Float64Array) => 20 * Math.log10(rms(errors) * Math.SQRT2);
    const codes = decode16(wavBytes([x], 48000, 16));
    expect(floor(x.map((value, n) => codes[n]! / 2 ** 15 - value))).toBeCloseTo(-93.3193, 1);
    const bytes = wavBytes([x], 48000, 24);
    const view = new DataView(bytes.buffer);
    const errors = x.map((value, n) => {
      const code = view.getUint16(44 + 3 * n, true) + view.getInt8(46 + 3 * n) * 65536;
      return code / 2 ** 23 - value;
    });
    expect(floor(errors)).toBeCloseTo(-146.2553, 1);
  });
});

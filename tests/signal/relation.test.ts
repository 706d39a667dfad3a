import { describe, expect, test } from 'vitest';
import { mixes, type OutputCase, seen, sharedReturn } from '../../server/src/signal/output-cases';
import { measurePair } from '../../server/src/signal/pair';
import { noiseOf, sine, sum, times } from './make';

const rate = 48000;
const frames = 96000;

type Pair = [Float64Array, Float64Array];
const tone = (frequency = 997, phase = 0) => sine({ rate, frames, frequency, amplitude: 0.25, phase });
const silence = new Float64Array(frames);
// As loud as the tone.
const hiss = (seed: number) => noiseOf(seed, frames, 0.25 / Math.SQRT2);

/** What was played, by the columns of the table: L, R, B, A, U. */
const played: Record<string, () => Pair> = {
  L: () => [tone(), silence],
  R: () => [silence, tone()],
  B: () => [tone(), tone()],
  A: () => [tone(), times(tone(), -1)],
  U: () => [hiss(1), hiss(2)],
};

/** A recorder's own noise, 100 dB under full scale, unlike on its two inputs. */
const recorded = ([a, b]: Pair): Pair => [sum(a, noiseOf(71, frames, 1e-5)), sum(b, noiseOf(72, frames, 1e-5))];

function through(name: OutputCase, column: string): Pair {
  const [l, r] = played[column]!();
  const [a, b, c, d] = mixes[name];
  return recorded([sum(times(l, a), times(r, b)), sum(times(l, c), times(r, d))]);
}

const db = (ratio: number) => 20 * Math.log10(ratio);

/*
 * The output stages, by Kirchhoff, simulated; levels in dB re one driven side, ρ (null: a side silent), and the relation each
 * must get. Blank levels are at the recorder's floor. Sources: the circuits; figures worked out with numpy over 10 s.
 */
const table: [OutputCase, string, number | null, number | null, number | null, string][] = [
  ['as-designed', 'L', 0, null, null, 'one-silent'],
  ['as-designed', 'R', null, 0, null, 'one-silent'],
  ['as-designed', 'B', 0, 0, 1, 'same'],
  ['as-designed', 'A', 0, 0, -1, 'antiphase'],
  ['as-designed', 'U', 0, 0, 0, 'unrelated'],
  ['differential', 'L', -6.02, -6.02, -1, 'antiphase'],
  ['differential', 'R', -6.02, -6.02, -1, 'antiphase'],
  ['differential', 'B', 0, 0, -1, 'antiphase'],
  ['differential', 'A', null, null, null, 'both-silent'],
  ['differential', 'U', -3.01, -3.01, -1, 'antiphase'],
  ['differential-of-left', 'L', 0, 0, -1, 'antiphase'],
  ['differential-of-left', 'R', null, null, null, 'both-silent'],
  ['differential-of-left', 'B', 0, 0, -1, 'antiphase'],
  ['differential-of-left', 'A', 0, 0, -1, 'antiphase'],
  ['differential-of-left', 'U', 0, 0, -1, 'antiphase'],
  ['polarity-reversed', 'L', 0, null, null, 'one-silent'],
  ['polarity-reversed', 'B', 0, 0, -1, 'antiphase'],
  ['polarity-reversed', 'A', 0, 0, 1, 'same'],
  ['polarity-reversed', 'U', 0, 0, 0, 'unrelated'],
  ['mono-summed', 'L', -6.02, -6.02, 1, 'same'],
  ['mono-summed', 'B', 0, 0, 1, 'same'],
  ['mono-summed', 'A', null, null, null, 'both-silent'],
  ['mono-summed', 'U', -3.01, -3.01, 1, 'same'],
  ['right-dead', 'L', 0, null, null, 'one-silent'],
  ['right-dead', 'R', null, null, null, 'both-silent'],
  ['right-dead', 'B', 0, null, null, 'one-silent'],
  ['right-dead', 'U', 0, null, null, 'one-silent'],
  ['sides-exchanged', 'L', null, 0, null, 'one-silent'],
  ['sides-exchanged', 'B', 0, 0, 1, 'same'],
  ['sides-exchanged', 'U', 0, 0, 0, 'unrelated'],
  ['common-return', 'L', -0.52, -31.15, -1, 'one-silent'],
  ['common-return', 'B', -0.78, -0.78, 1, 'same'],
  ['common-return', 'A', -0.27, -0.27, -1, 'antiphase'],
  ['common-return', 'U', -0.52, -0.52, -0.057, 'unrelated'],
  ['leakage', 'L', 0, -40, 1, 'one-silent'],
  ['leakage', 'B', 0.09, 0.09, 1, 'same'],
  ['leakage', 'A', -0.09, -0.09, -1, 'antiphase'],
  ['leakage', 'U', 0, 0, 0.02, 'unrelated'],
  ['return-open', 'L', -6.02, -6.02, -1, 'antiphase'],
  ['return-open', 'R', -6.02, -6.02, -1, 'antiphase'],
  ['return-open', 'B', null, null, null, 'both-silent'],
  ['return-open', 'A', 0, 0, -1, 'antiphase'],
  ['return-open', 'U', -3.01, -3.01, -1, 'antiphase'],
];

describe('output stages under left, right, both, opposed and unlike', () => {
  test.each(table)('%s, %s: %s and %s dB, ρ %s: %s', (name, column, first, second, rho, relation) => {
    const pair = measurePair(...through(name, column), rate);
    const levels = pair.rms.map((rms) => db((rms * Math.SQRT2) / 0.25));
    [first, second].forEach((level, i) => {
      // Two draws of noise of equal level differ by some hundredths of a decibel.
      if (level === null) expect(levels[i]).toBeLessThan(-80);
      else expect(Math.abs(levels[i]! - level)).toBeLessThan(column === 'U' ? 0.06 : 0.01);
    });
    if (rho !== null) expect(Math.abs(pair.correlation! - rho)).toBeLessThan(column === 'U' ? 0.015 : 0.002);
    expect([pair.relation, pair.because]).toEqual([relation, expect.any(String)]);
    // The table's mixes say the same without any samples.
    const sources = { L: [1, 0, 0], R: [0, 1, 0], B: [1, 1, 1], A: [1, 1, -1], U: [1, 1, 0] }[column]!;
    const view = seen(mixes[name], sources[0]!, sources[1]!, sources[2]!);
    [first, second].forEach((level, i) => {
      expect(view.levels[i]).toBeCloseTo(level ?? -Infinity, 1);
    });
    if (rho !== null) expect(view.correlation).toBeCloseTo(rho, 2);
  });

  test('mid and side of unlike noise: −3.01 both; −3.78 and −3.28 over a shared return; −2.92 and −3.10 under leakage', () => {
    const both = (name: OutputCase) => {
      const view = seen(mixes[name], 1, 1, 0);
      const pair = measurePair(...through(name, 'U'), rate);
      const reference = 0.25 / Math.SQRT2;
      expect(db(pair.mid / reference)).toBeCloseTo(view.mid, 1);
      expect(db(pair.side / reference)).toBeCloseTo(view.side, 1);
      return [view.mid, view.side];
    };
    const near = (name: OutputCase, figures: number[]) =>
      both(name).forEach((level, i) => {
        expect(Math.abs(level - figures[i]!)).toBeLessThan(0.01);
      });
    near('as-designed', [-3.01, -3.01]);
    near('common-return', [-3.78, -3.28]);
    near('leakage', [-2.92, -3.1]);
  });

  // Crosstalk over a shared return, −Rg/(RL+Rs+Rg), and what it takes off the mid: RL, Rs, Rg, dB, dB.
  test.each([
    [32, 0, 0.05, -56.14, -0.0271],
    [32, 0, 0.1, -50.13, -0.0541],
    [32, 1, 0.1, -50.4, -0.0525],
    [32, 0, 1, -30.37, -0.527],
    [16, 0, 0.1, -44.14, -0.108],
    [16, 0, 1, -24.61, -1.023],
    [10000, 100, 0.1, -100.1, -0.0002],
  ])('a return of %f, %f, %f Ω: crosstalk %f dB', (rl, rs, rg, crosstalk, loss) => {
    const [own, across] = sharedReturn(rl, rs, rg);
    expect(across / own).toBeLessThan(0);
    expect(db(Math.abs(across / own))).toBeCloseTo(crosstalk, 1);
    expect(db((own + across) / (rl / (rl + rs)))).toBeCloseTo(loss, 3);
    expect(own + across).toBeCloseTo(rl / (rl + rs + 2 * rg), 12);
  });

  test('one side 0.25 ms late: a tone shows it as a phase it cannot time, noise as a delay', () => {
    const delay = 12;
    const late = measurePair(...recorded([tone(), tone(997, (-2 * Math.PI * 997 * delay) / rate)]), rate);
    expect(late.correlation).toBeCloseTo(0.0047, 3);
    expect(db((late.mid * Math.SQRT2) / 0.25)).toBeCloseTo(-2.99, 2);
    expect(late.relation).toBe('delayed');
    expect(late.delay).toBeNull();
    expect(late.line).toBeCloseTo(997, -1);
    expect(late.because).toContain('cannot tell');
    const long = hiss(9);
    const noisy = measurePair(...recorded([long, Float64Array.from(long, (_, n) => long[n - delay] ?? 0)]), rate);
    expect(noisy.relation).toBe('delayed');
    expect(noisy.delay!.seconds).toBeCloseTo(0.25e-3, 7);
    const unlike = measurePair(...recorded([hiss(1), hiss(2).map((_, n, all) => all[n - delay] ?? 0)]), rate);
    expect(unlike.relation).toBe('unrelated');
  });

  test('an echo on both sides leaves them the same', () => {
    const x = hiss(4);
    const comb = x.map((value, n) => value + 0.5 * (x[n - 48] ?? 0));
    const pair = measurePair(...recorded([comb, comb]), rate);
    expect(pair.relation).toBe('same');
    expect(pair.correlation).toBeCloseTo(1, 4);
  });
});

describe('the null of an antiphase pair', () => {
  // Closed forms: gain error g: |1 − g|/(1 + g) of the in-phase sum; phase error θ: tan(θ/2).
  test.each([
    [0.01, -64.8],
    [0.05, -50.8],
    [0.1, -44.8],
    [0.5, -30.8],
    [1, -24.8],
    [3, -15.3],
  ])('a gain error of %f dB leaves %f dB', (error, depth) => {
    const pair = measurePair(tone(), times(tone(), -(10 ** (error / 20))), rate);
    expect(db(pair.mid / pair.side)).toBeCloseTo(depth, 1);
    expect(pair.relation).toBe('antiphase');
    expect(pair.balance).toBeCloseTo(error, 6);
  });

  test.each([
    [0.1, -61.2],
    [1, -41.2],
    [5, -27.2],
    [10, -21.2],
  ])('a phase error of %f° leaves %f dB', (error, depth) => {
    const pair = measurePair(tone(), tone(997, Math.PI + (error * Math.PI) / 180), rate);
    expect(db(pair.mid / pair.side)).toBeCloseTo(depth, 1);
    expect(pair.relation).toBe('antiphase');
    expect(Math.abs(Math.abs(pair.phase!) - (180 - error))).toBeLessThan(0.05);
  });

  test('a perfect one is nothing at all', () => {
    const x = hiss(5);
    expect(measurePair(x, times(x, -1), rate).mid).toBe(0);
    expect(measurePair(x, x, rate).side).toBe(0);
  });
});

describe('what is not a wiring fault', () => {
  const filtered = (x: Float64Array, pole: number) => {
    let low = 0;
    return x.map((value) => {
      low += (1 - pole) * (value - low);
      return low;
    });
  };

  test('wide programme at ρ = −0.7, coherence 0.83, is partly related', () => {
    const shared = filtered(hiss(11), 0.9);
    const wide: Pair = [
      sum(shared, times(filtered(hiss(12), 0.9), 0.31)),
      sum(times(shared, -1), times(filtered(hiss(13), 0.9), 0.31)),
    ];
    const pair = measurePair(...wide, rate);
    expect(pair.correlation!).toBeLessThan(-0.7);
    expect(pair.relation).toBe('partly');
  });

  test('opposed bass under a voice in phase: one band of many, so no inverted wire', () => {
    const bass = times(filtered(hiss(14), 0.995), 12);
    const voice = times(filtered(hiss(15), 0.8), 0.5);
    const pair = measurePair(sum(bass, voice), sum(times(bass, -1), voice), rate);
    expect(pair.relation).toBe('partly');
  });

  test('the same 26 dB under an opposed bass, where it carries little, still speaks against it', () => {
    const level = (x: Float64Array, rms: number) =>
      times(x, rms / Math.sqrt(x.reduce((total, value) => total + value * value, 0) / x.length));
    const bass = level(filtered(filtered(hiss(14), 0.98), 0.98), 0.2);
    const voice = level(sum(hiss(15), times(filtered(hiss(15), 0.7), -1)), 0.01);
    const pair = measurePair(sum(bass, voice), sum(times(bass, -1), voice), rate);
    expect(pair.correlation!).toBeLessThan(-0.95);
    expect(pair.relation).toBe('partly');
  });

  test('one short burst, alike by chance of its narrow band, is not called antiphase', () => {
    const ring = (phase: number) =>
      Float64Array.from({ length: frames }, (_, n) => {
        const t = n / rate;
        return 0.5 * Math.exp(-t / 0.03) * Math.sin(2 * Math.PI * 1200 * t + phase);
      });
    const other = (phase: number) => ring(phase).map((value, n) => value * Math.sin(n / 300 + 1));
    expect(measurePair(ring(0), sum(ring(2.5), other(1)), rate).relation).toBe('partly');
  });
});

describe('robust to what a bench brings', () => {
  test('noise 13 dB under the signal in each channel, hum on one, DC on both', () => {
    const dirt = (seed: number) => noiseOf(seed, frames, 0.03);
    const hum = sine({ rate, frames, frequency: 50, amplitude: 0.01, dc: 0.1 });
    expect(measurePair(sum(tone(), dirt(1), hum), sum(tone(), dirt(2)), rate).relation).toBe('same');
    expect(measurePair(sum(tone(), dirt(1), hum), sum(times(tone(), -1), dirt(2)), rate).relation).toBe('antiphase');
  });

  test('hum in phase on both does not hide an inversion, under a tone or under noise', () => {
    const hum = sine({ rate, frames, frequency: 50, amplitude: 0.012 });
    for (const x of [tone(), hiss(31)])
      expect(measurePair(sum(x, hum), sum(times(x, -1), hum), rate).relation).toBe('antiphase');
  });

  test('slow drift under the tone does not decide', () => {
    const drift = (phase: number) => sine({ rate, frames, frequency: 0.4, amplitude: 0.1, phase });
    expect(measurePair(sum(tone(), drift(0)), sum(tone(), drift(2)), rate).relation).toBe('same');
  });

  test('a coupling capacitor too small on one side: the same above, turned in the bass', () => {
    const x = hiss(21);
    let low = 0;
    const corner = 1 - Math.exp((-2 * Math.PI * 30) / rate);
    const thin = x.map((value) => {
      low += corner * (value - low);
      return value - low;
    });
    expect(measurePair(x, thin, rate).relation).toBe('same');
  });

  test('scope captures: 1200 points, a few periods', () => {
    const make = (phase: number, seed: number) =>
      Float64Array.from(sine({ rate: 100000, frames: 1200, frequency: 997, amplitude: 1, phase }), (value, n) => {
        const noisy = value + noiseOf(seed, 1200, 0.01)[n]!;
        return Math.round(noisy * 100) / 100;
      });
    expect(measurePair(make(0, 1), make(Math.PI, 2), 100000).relation).toBe('antiphase');
    expect(measurePair(make(0, 1), make(0, 2), 100000).relation).toBe('same');
    expect(measurePair(make(0, 1).slice(0, 120), make(Math.PI, 2).slice(0, 120), 100000).relation).toBe('antiphase');
  });

  test('nothing at all, a constant, one sample, no samples', () => {
    for (const length of [0, 1, 2, 63, 64, 5000]) {
      const flat = measurePair(new Float64Array(length), new Float64Array(length).fill(0.5), rate);
      expect([flat.relation, flat.correlation, flat.balance]).toEqual(['both-silent', null, null]);
    }
    const one = measurePair(new Float64Array(frames), tone(), rate);
    expect([one.relation, one.correlation, one.balance]).toEqual(['one-silent', null, null]);
    expect(one.because).toContain('first');
  });
});

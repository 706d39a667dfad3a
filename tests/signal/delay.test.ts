import { describe, expect, test } from 'vitest';
import { estimateDelay } from '../../server/src/signal/delay';
import { measurePair } from '../../server/src/signal/pair';
import { Welch } from '../../server/src/signal/welch';
import { noiseOf, sine, sum, times } from './make';

const rate = 48000;
const frames = 48000;

const spectraOf = (a: Float64Array, b: Float64Array, segment = 4096) => {
  const welch = new Welch(2, rate, { segment });
  welch.push([a, b]);
  return welch.result();
};
const estimate = (a: Float64Array, b: Float64Array) => estimateDelay(spectraOf(a, b), 0, 1)!;

/** The same noise as two channels, the second late by whole samples (negative: early). */
function shifted(samples: number, seed = 1): [Float64Array, Float64Array] {
  const long = noiseOf(seed, frames + 10000);
  return [long.slice(5000, 5000 + frames), long.slice(5000 - samples, 5000 - samples + frames)];
}

/** Fractional delay by a windowed sinc of 2·half taps: independent of any transform. */
function fraction(x: Float64Array, delay: number, half = 64): Float64Array {
  return x.map((_, n) => {
    let y = 0;
    for (let m = Math.ceil(n - delay - half); m <= n - delay + half; m++) {
      if (m < 0 || m >= x.length) continue;
      const t = n - delay - m;
      const sinc = t === 0 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t);
      y += x[m]! * sinc * (0.5 + 0.5 * Math.cos((Math.PI * t) / (half + 1)));
    }
    return y;
  });
}

describe('delay from the cross spectrum', () => {
  test('one sample late is 1/rate positive, phase −2πfτ: the sign convention', () => {
    // Piersol 1981: S_xy = <X*Y> of y(t) = x(t − τ) has phase −2πfτ. One sample at 48 kHz: 20.8333 µs, 7.5° at 1 kHz.
    const [a, b] = shifted(1);
    const { seconds, inverted } = estimate(a, b);
    expect(seconds * 1e6).toBeCloseTo(20.8333, 3);
    expect(inverted).toBe(false);
    expect(estimate(b, a).seconds * 1e6).toBeCloseTo(-20.8333, 3);
    const { re, im } = spectraOf(a, b).cross(0, 1);
    const k = Math.round((1000 * 4096) / rate);
    const expected = -2 * 180 * ((k * rate) / 4096) * (1 / rate);
    expect((Math.atan2(im[k]!, re[k]!) * 180) / Math.PI).toBeCloseTo(expected, 0);
  });

  test.each([5, -5, 37, 480, -1500])('%i samples', (samples) => {
    const { seconds, sd } = estimate(...shifted(samples));
    expect(Math.abs(seconds * rate - samples)).toBeLessThan(0.01);
    expect(Math.abs(seconds * rate - samples)).toBeLessThan(5 * sd * rate + 1e-6);
  });

  test('a fraction of a sample, within its own deviation', () => {
    const x = noiseOf(3, frames);
    // Band-limited first, for a sinc of finite length is true only below half the rate.
    const smooth = x.map((value, n) => (value + (x[n - 1] ?? 0)) / 2);
    const { seconds } = estimate(smooth, fraction(smooth, 0.37));
    expect(seconds * rate).toBeCloseTo(0.37, 3);
  });

  test('under noise, the scatter over many draws is what the deviation says', () => {
    const errors: number[] = [];
    const claimed: number[] = [];
    for (let seed = 1; seed <= 30; seed++) {
      const [a, b] = shifted(7, seed);
      const { seconds, sd } = estimate(sum(a, noiseOf(100 + seed, frames)), sum(b, noiseOf(200 + seed, frames)));
      errors.push(seconds * rate - 7);
      claimed.push(sd * rate);
    }
    const scatter = Math.sqrt(errors.reduce((total, e) => total + e * e, 0) / errors.length);
    const mean = claimed.reduce((total, s) => total + s, 0) / claimed.length;
    expect(scatter).toBeGreaterThan(mean * 0.6);
    expect(scatter).toBeLessThan(mean * 1.6);
  });

  test('a constant 180° is no delay, and a delay with 180° is both', () => {
    const [a, b] = shifted(12);
    const flipped = estimate(a, times(a, -1));
    expect(flipped.inverted).toBe(true);
    expect(Math.abs(flipped.seconds * rate)).toBeLessThan(1e-6);
    const both = estimate(a, times(b, -1));
    expect(both.inverted).toBe(true);
    expect(both.seconds * rate).toBeCloseTo(12, 3);
    expect(Math.abs(both.intercept)).toBeCloseTo(180, 0);
  });

  test('a constant 90° (a Hilbert pair) is neither: the polarity stays open', () => {
    // Two hundred tones that fill a band, in quadrature.
    const tones = Array.from({ length: 200 }, (_, i) => 500 + 23.4375 * i + ((i * i) % 17) / 3);
    const make = (phase: number) => {
      const out = new Float64Array(frames);
      tones.forEach((frequency, i) => {
        const one = sine({ rate, frames, frequency, amplitude: 0.01, phase: phase + i * i });
        for (let n = 0; n < frames; n++) out[n]! += one[n]!;
      });
      return out;
    };
    const found = estimate(make(0), make(Math.PI / 2));
    expect(found.inverted).toBeNull();
    expect(found.intercept).toBeCloseTo(90, 0);
  });

  test('unrelated channels and a single tone give none', () => {
    expect(estimateDelay(spectraOf(noiseOf(1, frames), noiseOf(2, frames)), 0, 1)).toBeNull();
    const tone = (phase: number) => sine({ rate, frames, frequency: 997, amplitude: 0.5, phase });
    expect(estimateDelay(spectraOf(tone(0), tone(1)), 0, 1)).toBeNull();
  });

  test('far beyond a short segment: 150 ms is found by the long ones', () => {
    const long = noiseOf(9, 20 * rate);
    const a = long.subarray(rate, 19 * rate);
    const b = long.subarray(rate - 7200, 19 * rate - 7200);
    const pair = measurePair(a, b, rate);
    expect(pair.relation).toBe('delayed');
    expect(pair.delay!.seconds).toBeCloseTo(0.15, 5);
    expect(Math.abs(pair.correlation!)).toBeLessThan(0.01);
  });
});

describe('closed forms', () => {
  test.each([
    [20.8333e-6, 0.99144, -0.0186],
    [100e-6, 0.80902, -0.4359],
    [250e-6, 0, -3.0103],
  ])('at 1 kHz a delay of %f s: correlation cos θ %f, mid %f dB', (delay, rho, mid) => {
    // Equal sines θ apart: ρ = cos θ; mid re one channel 20·log10|cos(θ/2)|.
    const tone = (t: number) => sine({ rate, frames, frequency: 1000, amplitude: 0.5, phase: -2 * Math.PI * 1000 * t });
    const pair = measurePair(tone(0), tone(delay), rate);
    expect(pair.correlation).toBeCloseTo(rho, 4);
    expect(20 * Math.log10(pair.mid / pair.rms[0])).toBeCloseTo(mid, 3);
    expect(20 * Math.log10(pair.side / pair.rms[0])).toBeCloseTo(
      20 * Math.log10(Math.abs(Math.sin(Math.PI * 1000 * delay))),
      3,
    );
    expect(pair.phase).toBeCloseTo(-360 * 1000 * delay, 1);
  });

  test('half a period: −1, and a mid that is nothing', () => {
    const pair = measurePair(
      sine({ rate, frames, frequency: 1000, amplitude: 0.5 }),
      sine({ rate, frames, frequency: 1000, amplitude: 0.5, phase: Math.PI }),
      rate,
    );
    expect(pair.correlation).toBeCloseTo(-1, 12);
    expect(20 * Math.log10(pair.mid / pair.side)).toBeLessThan(-250);
  });

  test('white noise of bandwidth B, τ late: correlation sinc(2Bτ), so near 0 does not mean unrelated', () => {
    // B = 24 kHz, whole samples: 0; coherence and delay see the relation all the same.
    const [a, b] = shifted(4);
    const pair = measurePair(a, b, rate);
    expect(Math.abs(pair.correlation!)).toBeLessThan(4 * pair.correlationSd!);
    expect(pair.relation).toBe('delayed');
    expect(pair.delay!.seconds * rate).toBeCloseTo(4, 3);
    // Half a sample: sinc(0.5) = 0.6366.
    const x = noiseOf(3, frames);
    const half = measurePair(x, fraction(x, 0.5, 400), rate);
    expect(half.correlation).toBeCloseTo(0.6366, 2);
  });

  test('coherence falls as a window slides off itself, and is put back', () => {
    // Seybert & Hamilton 1978, with the Hann window's own overlap in place of (1 − d/T).
    const [a, b] = shifted(400);
    const plain = spectraOf(a, b, 4096);
    const { re, im } = plain.cross(0, 1);
    let got = 0;
    for (let k = 50; k < 2000; k++) got += (re[k]! ** 2 + im[k]! ** 2) / (plain.auto[0]![k]! * plain.auto[1]![k]!);
    got /= 1950;
    let c = 0;
    let all = 0;
    for (let n = 0; n < 4096; n++) {
      const w = (m: number) => (m < 4096 ? 0.5 - 0.5 * Math.cos((2 * Math.PI * m) / 4096) : 0);
      c += w(n) * w(n + 400);
      all += w(n) ** 2;
    }
    expect(got).toBeCloseTo((c / all) ** 2, 2);
    expect(measurePair(a, b, rate).coherence).toBeGreaterThan(0.98);
  });
});

test('the deviation of ρ: 1/√(N−1) for unrelated white noise, wider for coloured, as scattered draws show', () => {
  const scatter = (make: (seed: number) => Float64Array) => {
    const values = Array.from({ length: 60 }, (_, i) => measurePair(make(2 * i + 1), make(2 * i + 2), rate));
    const rms = Math.sqrt(values.reduce((total, { correlation }) => total + correlation! ** 2, 0) / values.length);
    return [rms, values[0]!.correlationSd!] as const;
  };
  const [white, whiteSd] = scatter((seed) => noiseOf(seed, 4800));
  expect(whiteSd).toBeCloseTo(0.0144, 2);
  expect(white / whiteSd).toBeGreaterThan(0.7);
  expect(white / whiteSd).toBeLessThan(1.4);
  const coloured = (seed: number) => {
    let last = 0;
    return noiseOf(seed, 4800).map((value) => {
      last = 0.98 * last + value;
      return last;
    });
  };
  const [wide, wideSd] = scatter(coloured);
  expect(wideSd).toBeGreaterThan(4 * whiteSd);
  expect(wide / wideSd).toBeGreaterThan(0.7);
  expect(wide / wideSd).toBeLessThan(1.5);
});

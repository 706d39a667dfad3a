import { describe, expect, test } from 'vitest';
import { fourier, powerOfTwoFrom } from '../../server/src/signal/fft';
import { overlapCorrelation, type WindowName, windowCoefficients, windowOf } from '../../server/src/signal/windows';

/*
 * Figures of merit, N = 4096, periodic form. NENBW, flatness, side lobe and overlap of Hann, the Blackman-Harris and Nuttall
 * windows and the HFT series as tabulated by Heinzel, Rüdiger & Schilling 2002 (GEO 600 note); the rest evaluated from the
 * coefficients with numpy. Harris 1978's side-lobe column is not used: Nuttall 1981 corrects it.
 */
const table: [WindowName, gain: number, enbw: number, scalloping: number, lobe: number, oc50: number, oc75: number][] =
  [
    ['rectangular', 1, 1, -3.9224, -13.26, 50, 75],
    ['hann', 0.5, 1.5, -1.4236, -31.47, 16.67, 65.92],
    ['hamming', 0.54, 1.362826, -1.7514, -42.68, 23.38, 70.69],
    ['blackman', 0.42, 1.726757, -1.0989, -58.11, 8.96, 56.67],
    ['exact-blackman', 0.426591, 1.693699, -1.15, -68.24, 10.0, 57.76],
    ['blackman-harris-3', 0.42323, 1.708538, -1.1287, -70.83, 9.55, 57.23],
    ['blackman-harris', 0.35875, 2.004353, -0.8256, -92.01, 3.76, 46.0],
    ['nuttall', 0.3635819, 1.976109, -0.8506, -98.17, 4.18, 47.0],
    ['nuttall-smooth', 0.355768, 2.021233, -0.8118, -93.33, 3.54, 45.39],
    ['ftsrs', 1, 3.770164, -0.0156, -76.62, -1.4, 4.42],
    ['flat-top', 0.21557895, 3.770246, -0.0098, -93.03, -1.53, 4.55],
    ['hft70', 1, 3.412906, -0.0065, -70.45, -3.82, 12.24],
    ['hft95', 1, 3.811213, -0.0039, -95.0, -1.42, 3.88],
    ['hft90d', 1, 3.883167, -0.0039, -90.22, -1.09, 2.61],
    ['hft116d', 1, 4.21861, -0.0028, -116.8, -0.22, -2.02],
  ];

const size = 4096;

/** |W| at a frequency in bins, relative to |W(0)|, in dB. */
function response(values: Float64Array, bins: number): number {
  let re = 0;
  let im = 0;
  let sum = 0;
  values.forEach((w, n) => {
    re += w * Math.cos((2 * Math.PI * bins * n) / size);
    im += w * Math.sin((2 * Math.PI * bins * n) / size);
    sum += w;
  });
  return 20 * Math.log10(Math.hypot(re, im) / sum);
}

/** Peak side lobe from the zero-padded transform: the highest point past the main lobe, which is as many bins wide as terms. */
function sideLobe(values: Float64Array, terms: number): number {
  const pad = 64;
  const padded = new Float64Array(size * pad);
  padded.set(values);
  const spectrum = fourier(size * pad).real(padded);
  const level = (i: number) => Math.hypot(spectrum[2 * i]!, spectrum[2 * i + 1]!) / Math.abs(spectrum[0]!);
  let peak = 0;
  for (let i = terms * pad; i < 60 * pad; i++) peak = Math.max(peak, level(i));
  return 20 * Math.log10(peak);
}

describe.each(table)('the %s window', (name, gain, enbw, scalloping, lobe, oc50, oc75) => {
  const window = windowOf(name, size);

  test('has the tabulated gain and noise bandwidth', () => {
    expect(window.gain).toBeCloseTo(gain, 6);
    expect(window.enbw).toBeCloseTo(enbw, 6);
  });

  test('has the tabulated scalloping, side lobe and overlap correlation', () => {
    expect(response(window.values, 0.5)).toBeCloseTo(scalloping, 4);
    expect(sideLobe(window.values, windowCoefficients[name].length)).toBeCloseTo(lobe, 1);
    expect(100 * overlapCorrelation(window, size / 2)).toBeCloseTo(oc50, 1);
    expect(100 * overlapCorrelation(window, size / 4)).toBeCloseTo(oc75, 1);
  });
});

test('windows are periodic, not symmetric: the symmetric form of 1024 points would have 1.501466 and 2.006312 bins', () => {
  expect(windowOf('hann', 1024).enbw).toBeCloseTo(1.5, 12);
  expect(windowOf('blackman-harris', 1024).enbw).toBeCloseTo(2.004353, 6);
});

test('a sine of peak A in its bin shows as A·N·gain/2, and its power comes back through the noise bandwidth', () => {
  // Closed form: |X[k]| = A·N·CG/2; A²/2 = 2|X|²/(N·Σw²) · NENBW / N · … in bins.
  const n = 1024;
  const bin = 37;
  for (const name of ['hann', 'blackman-harris', 'hft95'] as const) {
    const { values, gain, enbw, sumOfSquares } = windowOf(name, n);
    const x = Float64Array.from(values, (w, i) => w * 0.7 * Math.cos((2 * Math.PI * bin * i) / n + 1));
    const spectrum = fourier(n).real(x);
    const magnitude = Math.hypot(spectrum[2 * bin]!, spectrum[2 * bin + 1]!);
    expect(magnitude).toBeCloseTo((0.7 * n * gain) / 2, 9);
    const density = (2 * magnitude ** 2) / sumOfSquares;
    expect((density * enbw) / n).toBeCloseTo(0.7 ** 2 / 2, 9);
  }
});

describe('the transform', () => {
  const naive = (re: number[], im: number[]) =>
    re.map((_, k) => {
      let a = 0;
      let b = 0;
      re.forEach((r, n) => {
        const c = Math.cos((2 * Math.PI * k * n) / re.length);
        const s = -Math.sin((2 * Math.PI * k * n) / re.length);
        a += r * c - im[n]! * s;
        b += r * s + im[n]! * c;
      });
      return [a, b];
    });

  // Every power of four and of two between, for the library treats them apart. Source: the definition of the DFT.
  test.each([2, 4, 8, 16, 32, 64, 128, 256])(
    'of %i points is the definition, real and complex, and comes back',
    (n) => {
      const re = Array.from({ length: n }, (_, i) => Math.sin(i * i) + i / n);
      const im = Array.from({ length: n }, (_, i) => Math.cos(3 * i * i));
      const real = fourier(n).real(Float64Array.from(re));
      const complex = fourier(n).forward(Float64Array.from(re.flatMap((r, i) => [r, im[i]!])));
      const back = fourier(n).inverse(complex);
      naive(
        re,
        im.map(() => 0),
      ).forEach(([a, b], k) => {
        expect(real[2 * k]).toBeCloseTo(a!, 10);
        expect(real[2 * k + 1]).toBeCloseTo(b!, 10);
      });
      naive(re, im).forEach(([a, b], k) => {
        expect(complex[2 * k]).toBeCloseTo(a!, 10);
        expect(complex[2 * k + 1]).toBeCloseTo(b!, 10);
        expect(back[2 * k]).toBeCloseTo(re[k]!, 10);
        expect(back[2 * k + 1]).toBeCloseTo(im[k]!, 10);
      });
    },
  );

  test('refuses a size that is no power of two: a bug, so it throws', () => {
    expect(() => fourier(48)).toThrow();
    expect([1, 2, 3, 1000, 1024, 1025].map(powerOfTwoFrom)).toEqual([2, 2, 4, 1024, 1024, 2048]);
  });
});

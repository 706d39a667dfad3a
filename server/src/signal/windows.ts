/**
 * Cosine-sum windows, periodic (DFT-even): w[n] = Σ (−1)^k·a_k·cos(2πkn/N).
 * Coefficients: Harris 1978 and Nuttall 1981 (Hann to Nuttall), Heinzel, Rüdiger & Schilling 2002 (the HFT series, FTSRS).
 * The symmetric form (denominator N − 1) has other gains and is not used here.
 */
export const windowCoefficients = {
  rectangular: [1],
  hann: [0.5, 0.5],
  hamming: [0.54, 0.46],
  blackman: [0.42, 0.5, 0.08],
  'exact-blackman': [7938 / 18608, 9240 / 18608, 1430 / 18608],
  'blackman-harris-3': [0.42323, 0.49755, 0.07922],
  'blackman-harris': [0.35875, 0.48829, 0.14128, 0.01168],
  nuttall: [0.3635819, 0.4891775, 0.1365995, 0.0106411],
  'nuttall-smooth': [0.355768, 0.487396, 0.144232, 0.012604],
  ftsrs: [1, 1.93, 1.29, 0.388, 0.028],
  'flat-top': [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368],
  hft70: [1, 1.90796, 1.07349, 0.18199],
  hft95: [1, 1.9383379, 1.3045202, 0.402827, 0.0350665],
  hft90d: [1, 1.942604, 1.340318, 0.440811, 0.043097],
  hft116d: [1, 1.9575375, 1.4780705, 0.6367431, 0.1228389, 0.0066288],
} as const satisfies Record<string, readonly number[]>;

export type WindowName = keyof typeof windowCoefficients;

/** A window with the sums that undo it: a sine of peak A in its bin shows as A·gain·N/2; noise power is spread over `enbw` bins. */
export interface Window {
  readonly name: WindowName;
  readonly values: Float64Array;
  /** Coherent gain: the mean of w. */
  readonly gain: number;
  /** Equivalent noise bandwidth in bins: N·Σw²/(Σw)². */
  readonly enbw: number;
  readonly sumOfSquares: number;
}

const made = new Map<string, Window>();

/** The window of `size` samples, kept once made; do not write to its values. */
export function windowOf(name: WindowName, size: number): Window {
  const key = `${name} ${size}`;
  let window = made.get(key);
  if (!window) {
    window = build(name, size);
    made.set(key, window);
  }
  return window;
}

function build(name: WindowName, size: number): Window {
  const values = new Float64Array(size);
  for (let n = 0; n < size; n++) {
    let w = 0;
    windowCoefficients[name].forEach((a, k) => {
      w += (k % 2 ? -a : a) * Math.cos((2 * Math.PI * ((k * n) % size)) / size);
    });
    values[n] = w;
  }
  let sum = 0;
  let sumOfSquares = 0;
  for (const w of values) {
    sum += w;
    sumOfSquares += w * w;
  }
  return { name, values, gain: sum / size, enbw: (size * sumOfSquares) / (sum * sum), sumOfSquares };
}

/** How alike two windows `hop` samples apart see white noise (Harris's overlap correlation): Σ w[n]·w[n+hop] / Σ w². */
export function overlapCorrelation(window: Window, hop: number): number {
  const { values, sumOfSquares } = window;
  let sum = 0;
  for (let n = 0; n + hop < values.length; n++) sum += values[n]! * values[n + hop]!;
  return sum / sumOfSquares;
}

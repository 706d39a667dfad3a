import FFT from 'fft.js';

/**
 * A transform of one size with its own scratch, made once and kept. Complex arrays are interleaved (re, im, re, im …) and
 * always Float64Array: the library under it runs at half its speed once two kinds of array have passed through it.
 */
export interface FourierPlan {
  readonly size: number;
  /** X[k] = Σ x[n]·e^(−j2πkn/N) of `size` real samples; fills all `size` bins (2·size numbers). */
  real(input: Float64Array, out?: Float64Array): Float64Array;
  /** The same of `size` complex samples. */
  forward(input: Float64Array, out?: Float64Array): Float64Array;
  /** The inverse, divided by `size`. */
  inverse(input: Float64Array, out?: Float64Array): Float64Array;
}

const plans = new Map<number, FourierPlan>();

/** The plan for `size`, a power of two from 2 up; anything else is a bug and throws. Not re-entrant across threads. */
export function fourier(size: number): FourierPlan {
  let plan = plans.get(size);
  if (!plan) {
    plan = build(size);
    plans.set(size, plan);
  }
  return plan;
}

function build(size: number): FourierPlan {
  const fft = new FFT(size);
  const fresh = () => new Float64Array(2 * size);
  return {
    size,
    real(input, out = fresh()) {
      fft.realTransform(out, input);
      // The library leaves the upper half unset for real input.
      fft.completeSpectrum(out);
      return out;
    },
    forward(input, out = fresh()) {
      fft.transform(out, input);
      return out;
    },
    inverse(input, out = fresh()) {
      fft.inverseTransform(out, input);
      return out;
    },
  };
}

/** The smallest power of two that is at least `n` (and at least 2). */
export function powerOfTwoFrom(n: number): number {
  let size = 2;
  while (size < n) size *= 2;
  return size;
}

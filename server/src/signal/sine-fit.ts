import { wrap } from './angle';
import { fitSines, frequencyStep, rmsOf, type SineSum, withoutSines } from './sines';

/** A least-squares sine (IEEE 1057, IEEE 1241): `offset + amplitude·sin(omega·n + phase)`, n = 0 at the first sample. */
export interface SineFit {
  /** Radians a sample. */
  readonly omega: number;
  /** Peak. */
  readonly amplitude: number;
  /** Radians in (−π, π], sine form. */
  readonly phase: number;
  readonly offset: number;
  /** RMS of what is left. */
  readonly residual: number;
  readonly frames: number;
  /** 3: the frequency was given; 4: it was fitted too. */
  readonly parameters: 3 | 4;
  /**
   * Standard deviations if the residual is white noise: the Cramér–Rao bounds, which least squares meets in Gaussian noise
   * (Rife & Boorstyn 1974; Händel 2000). 0 for a frequency that was given.
   */
  readonly sd: { readonly omega: number; readonly amplitude: number; readonly phase: number; readonly offset: number };
}

/** The bounds for residual variance `variance`; ω in radians a sample, phase at the first sample. */
export function sineBounds(variance: number, amplitude: number, frames: number, parameters: 3 | 4): SineFit['sd'] {
  const n = frames;
  const free = parameters === 4;
  const perPower = amplitude > 0 ? variance / amplitude ** 2 : Number.POSITIVE_INFINITY;
  return {
    omega: free ? Math.sqrt((24 * perPower) / (n * (n * n - 1))) : 0,
    amplitude: Math.sqrt((2 * variance) / n),
    phase: Math.sqrt(((free ? 8 : 2) * perPower) / n),
    offset: Math.sqrt(variance / n),
  };
}

/** The figures of a one-sine sum over its samples. */
function finish(samples: Float64Array, sum: SineSum, parameters: 3 | 4): SineFit {
  const n = samples.length;
  const omega = sum.omegas[0]!;
  const a = sum.cosine[0]!;
  const b = sum.sine[0]!;
  const residual = rmsOf(withoutSines(samples, sum));
  const amplitude = Math.hypot(a, b);
  const variance = (residual * residual * n) / Math.max(1, n - parameters);
  return {
    omega,
    amplitude,
    phase: wrap(Math.atan2(a, b) - (omega * (n - 1)) / 2),
    offset: sum.offset,
    residual,
    frames: n,
    parameters,
    sd: sineBounds(variance, amplitude, n, parameters),
  };
}

/** Whole periods a record must hold before a sine is fitted to it: below one the fit has no footing (Händel 2000). */
const fewestPeriods = 1;

const carries = (frames: number, omega: number) =>
  omega > 0 && omega < Math.PI && (frames * omega) / (2 * Math.PI) >= fewestPeriods;

/** Three-parameter fit at a known frequency (radians a sample); null where the record cannot carry one. */
export function fitSine3(samples: Float64Array, omega: number): SineFit | null {
  if (!carries(samples.length, omega)) return null;
  const sum = fitSines(samples, [omega]);
  return sum && finish(samples, sum, 3);
}

/**
 * Four-parameter fit: Gauss–Newton on the frequency, starting within about half a cycle over the record of the true one.
 * Null where it does not converge, or the record holds less than one period.
 */
export function fitSine4(samples: Float64Array, start: number): SineFit | null {
  const n = samples.length;
  let omega = start;
  if (n < 5 || !carries(n, omega)) return null;
  let step = Number.POSITIVE_INFINITY;
  for (let turn = 0; turn < 25 && Math.abs(step) * n > 1e-8; turn++) {
    const next = frequencyStep(samples, omega, [1]);
    if (next === null) return null;
    // Further than half a cycle over the record is another valley of the error.
    step = Math.max(-Math.PI / n, Math.min(Math.PI / n, next));
    omega += step;
    if (!carries(n, omega)) return null;
  }
  if (Math.abs(step) * n > 1e-4) return null;
  const sum = fitSines(samples, [omega]);
  return sum && finish(samples, sum, 4);
}

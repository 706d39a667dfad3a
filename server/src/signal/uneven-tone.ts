import { wrap } from './angle';
import { type Distortion, distortionFrom } from './distortion';
import { findTone } from './find-tone';
import { defaultHarmonics } from './harmonics';
import { type SineFit, sineBounds } from './sine-fit';
import type { Fitter } from './tones';
import { fitUneven, middleOf, type Uneven, type UnevenSum } from './uneven-sines';

/**
 * Tones of samples that are not evenly spaced: the same fits as of even ones (IEEE 1057: three and four parameters, the fundamental
 * with its harmonics), at the times as they are written. Only the first look for the frequency is taken on values interpolated
 * linearly onto an even grid.
 *
 * @param seconds of every sample, rising. @param rate mean samples a second: frequencies are radians a mean step.
 */
export function unevenFitter(seconds: Float64Array, rate: number): Fitter {
  const times = seconds.map((time) => (time - seconds[0]!) * rate);
  const of = (values: Float64Array): Uneven => ({ times, values });
  return {
    find: (values, near) => {
      const first = findTone(gridded(of(values)), { near });
      return first && fitFrequency(of(values), first.omega);
    },
    at: (values, omega) => {
      const sum = fitUneven(of(values), [omega]);
      return sum && toneOf(of(values), omega, sum, 3);
    },
    distortion: (values, fit, fullRange) => distortionAt(of(values), fit, fullRange),
  };
}

/** Values interpolated linearly at the mean steps. */
function gridded({ times, values }: Uneven): Float64Array {
  let at = 0;
  return Float64Array.from(values, (_, n) => {
    while (at + 2 < times.length && times[at + 1]! <= n) at++;
    const [from, to] = [times[at]!, times[at + 1]!];
    const share = to > from ? Math.min(1, Math.max(0, (n - from) / (to - from))) : 0;
    return values[at]! + share * (values[at + 1]! - values[at]!);
  });
}

/** Gauss–Newton on the frequency of a fundamental at whole `multiples`; null where it does not converge. */
function settle(samples: Uneven, start: number, multiples: readonly number[]) {
  const frames = samples.values.length;
  let omega = start;
  let step = Number.POSITIVE_INFINITY;
  const all = () => multiples.map((multiple) => multiple * omega);
  let sum = fitUneven(samples, all());
  for (let turn = 0; sum && turn < 25 && Math.abs(step) * frames > 1e-8; turn++) {
    const next = fitUneven(samples, all(), { sum, multiples });
    if (next === null) return null;
    step = Math.max(-Math.PI / frames, Math.min(Math.PI / frames, next.shift));
    omega += step;
    if (!(omega > 0 && omega < Math.PI)) return null;
    sum = fitUneven(samples, all());
  }
  return sum && Math.abs(step) * frames <= 1e-4 ? { omega, sum } : null;
}

function fitFrequency(samples: Uneven, start: number): SineFit | null {
  const settled = settle(samples, start, [1]);
  return settled && toneOf(samples, settled.omega, settled.sum, 4);
}

/** The fundamental of a sum as a fit; `residual` is all that is not it. */
function toneOf(samples: Uneven, omega: number, sum: UnevenSum, parameters: 3 | 4): SineFit {
  const frames = samples.values.length;
  const [a, b] = [sum.cosine[0]!, sum.sine[0]!];
  const amplitude = Math.hypot(a, b);
  const harmonics = sum.cosine.slice(1).reduce((power, c, k) => power + (c * c + sum.sine[k + 1]! ** 2) / 2, 0);
  const free = parameters + 2 * (sum.cosine.length - 1);
  const variance = (sum.left ** 2 * frames) / Math.max(1, frames - free);
  return {
    omega,
    amplitude,
    phase: wrap(Math.atan2(a, b) - omega * middleOf(samples)),
    offset: sum.offset,
    residual: Math.sqrt(harmonics + sum.left ** 2),
    frames,
    parameters,
    sd: sineBounds(variance, amplitude, frames, parameters),
  };
}

function distortionAt(samples: Uneven, fit: SineFit, fullRange: number | null): Distortion | null {
  const multiples = [1];
  while (multiples.length < defaultHarmonics && (multiples.length + 1) * fit.omega < Math.PI)
    multiples.push(multiples.length + 1);
  const settled = settle(samples, fit.omega, multiples);
  if (settled === null) return null;
  const { omega, sum } = settled;
  const squared = sum.cosine.map((c, k) => c * c + sum.sine[k]! ** 2).slice(1);
  const fundamental = toneOf(samples, omega, sum, 4);
  return distortionFrom({ fundamental, squared, restRms: sum.left, rest: null }, fullRange);
}

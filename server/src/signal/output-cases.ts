import type { Stimulus } from './figures';

/** What may lie between what was played (left, right) and what was recorded (first channel for left, second for right). */
export type OutputCase =
  | 'as-designed'
  | 'differential'
  | 'differential-of-left'
  | 'differential-of-right'
  | 'polarity-reversed'
  | 'mono-summed'
  | 'left-dead'
  | 'right-dead'
  | 'sides-exchanged'
  | 'common-return'
  | 'leakage'
  | 'return-open'
  | 'delayed'
  | 'echo';

/** Each case in words that end a sentence: "cannot tell … from …". */
export const caseWords: Record<OutputCase, string> = {
  'as-designed': 'a healthy output',
  differential: 'one mono signal put out as two opposed legs',
  'differential-of-left': 'the left side alone put out as two opposed legs',
  'differential-of-right': 'the right side alone put out as two opposed legs',
  'polarity-reversed': 'one side with its polarity reversed',
  'mono-summed': 'both sides summed to mono',
  'left-dead': 'a dead left side',
  'right-dead': 'a dead right side',
  'sides-exchanged': 'left and right exchanged',
  'common-return': 'a return shared by both sides',
  leakage: 'leakage between the sides',
  'return-open': 'an open common return',
  delayed: 'one side late',
  echo: 'an echo on both sides',
};

type Mix = readonly [number, number, number, number];

/** [first of left, first of right, second of left, second of right]: the circuits of the output stages, worked out by Kirchhoff. */
export const mixes: Record<OutputCase, Mix> = {
  'as-designed': [1, 0, 0, 1],
  differential: [0.5, 0.5, -0.5, -0.5],
  'differential-of-left': [1, 0, -1, 0],
  'differential-of-right': [0, 1, 0, -1],
  'polarity-reversed': [1, 0, 0, -1],
  'mono-summed': [0.5, 0.5, 0.5, 0.5],
  'left-dead': [0, 0, 0, 1],
  'right-dead': [1, 0, 0, 0],
  'sides-exchanged': [0, 1, 1, 0],
  // Loads of 32 Ω from sources of 1 Ω over a common 1 Ω: crosstalk −Rg/(RL+Rs+Rg), inverted.
  'common-return': sharedReturn(32, 1, 1),
  leakage: [1, 0.01, 0.01, 1],
  'return-open': [0.5, -0.5, -0.5, 0.5],
  // A delay or an echo mixes no sides: only time or the spectrum shows it.
  delayed: [1, 0, 0, 1],
  echo: [1, 0, 0, 1],
};

/** Voltage of each load over a common return `rg`, by the sources' EMF. */
export function sharedReturn(rl: number, rs: number, rg: number): Mix {
  // Mesh currents: (RL + Rs + Rg)·i₁ + Rg·i₂ = e₁ and the mirror.
  const own = rl + rs + rg;
  const det = own * own - rg * rg;
  return [(own * rl) / det, (-rg * rl) / det, (-rg * rl) / det, (own * rl) / det];
}

/** What a recorder sees of a case: levels in dB re one side's normal level (−∞ for none), and correlation (null where a side is silent). */
export interface Seen {
  readonly levels: readonly [number, number];
  readonly correlation: number | null;
  /** RMS of the half-sum and half-difference, dB on the same scale. */
  readonly mid: number;
  readonly side: number;
}

/** The pair that a mix makes of sources with powers `left`, `right` and correlation `rho`. */
export function seen([a, b, c, d]: Mix, left: number, right: number, rho: number): Seen {
  const cross = rho * Math.sqrt(left * right);
  const first = a * a * left + b * b * right + 2 * a * b * cross;
  const second = c * c * left + d * d * right + 2 * c * d * cross;
  const between = a * c * left + b * d * right + (a * d + b * c) * cross;
  // Exact cancellation leaves rounding only.
  const silent = 1e-12;
  const db = (power: number) => (power > silent ? 10 * Math.log10(power) : -Infinity);
  return {
    levels: [db(first), db(second)],
    correlation: first > silent && second > silent ? between / Math.sqrt(first * second) : null,
    mid: db((first + second + 2 * between) / 4),
    side: db((first + second - 2 * between) / 4),
  };
}

/** Powers of left and right and the correlations a stimulus may have; ordinary stereo programme may have any from −0.2 to 1. */
export function sources(stimulus: Stimulus): { left: number; right: number; rho: readonly number[] } | null {
  switch (stimulus.side) {
    case 'left':
      return { left: 1, right: 0, rho: [0] };
    case 'right':
      return { left: 0, right: 1, rho: [0] };
    case 'both':
      return { left: 1, right: 1, rho: [1] };
    case 'opposed':
      return { left: 1, right: 1, rho: [-1] };
    case 'unlike':
      return { left: 1, right: 1, rho: [0] };
    default:
      // The sweep among our test signals is the same on both. A tone or a noise with no side named may be on either.
      if (stimulus.kind === 'sweep') return { left: 1, right: 1, rho: [1] };
      return stimulus.kind === 'programme' ? { left: 1, right: 1, rho: [-0.2, 0.5, 1] } : null;
  }
}

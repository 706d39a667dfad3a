import type { Bench } from '../bench';
import type { Scene } from '../scene';
import type { Hypothesis } from '../types';
import { chipHypotheses } from './chips';
import { copperHypotheses } from './copper';
import { partHypotheses } from './parts';
import { probingHypotheses } from './probing';

export const asDesigned: Hypothesis = {
  cause: 'as-designed',
  at: [],
  mode: null,
  prior: 1,
  variants: [{ weight: 1, effect: {} }],
};

/** Every single cause that is thought of for a board, `as-designed` first; each cause, place and mode once. */
export function hypothesesFor(scene: Scene, bench: Bench): Hypothesis[] {
  const all = [
    asDesigned,
    ...chipHypotheses(bench),
    ...copperHypotheses(bench),
    ...partHypotheses(bench),
    ...probingHypotheses(scene),
  ];
  const seen = new Set<string>();
  return all.filter((one) => {
    const key = keyOf(one);
    return !seen.has(key) && seen.add(key);
  });
}

/** A name no other hypothesis has. */
export const keyOf = ({ cause, at, mode }: Pick<Hypothesis, 'cause' | 'at' | 'mode'>): string =>
  `${cause} ${[...at].sort().join(' ')}${mode === null ? '' : ` ${mode}`}`;

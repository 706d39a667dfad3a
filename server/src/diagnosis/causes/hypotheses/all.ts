import type { Bench } from '../bench';
import { Context } from '../context';
import type { Scene } from '../scene';
import type { Hypothesis } from '../types';
import { chipHypotheses } from './chips';
import { clockHypotheses } from './clock';
import { copperHypotheses } from './copper';
import { diodeHypotheses } from './diodes';
import { strengthened } from './hum';
import { leadHypotheses } from './leads';
import { metHypotheses } from './met';
import { partHypotheses } from './parts';
import { probingHypotheses } from './probing';
import { sectionHypotheses } from './sections';
import { wiperHypotheses } from './wipers';

export const asDesigned: Hypothesis = {
  cause: 'as-designed',
  at: [],
  mode: null,
  prior: 1,
  variants: [{ weight: 1, effect: {} }],
};

/** Every single cause that is thought of for a board, `as-designed` first; each cause, place and mode once. */
export function hypothesesFor(scene: Scene, bench: Bench): Hypothesis[] {
  const rest = new Context(bench, 0);
  const all = [
    asDesigned,
    ...chipHypotheses(bench, scene),
    ...copperHypotheses(bench, rest),
    ...leadHypotheses(bench),
    ...metHypotheses(scene, bench, rest),
    ...sectionHypotheses(bench, rest),
    ...partHypotheses(bench, rest),
    ...diodeHypotheses(bench, rest),
    ...wiperHypotheses(bench),
    ...clockHypotheses(bench),
    ...probingHypotheses(scene),
  ];
  const seen = new Set<string>();
  return strengthened(all, scene, bench).filter((one) => {
    const key = keyOf(one);
    return !seen.has(key) && seen.add(key);
  });
}

/** A name no other hypothesis has. */
export const keyOf = ({ cause, at, mode }: Pick<Hypothesis, 'cause' | 'at' | 'mode'>): string =>
  `${cause} ${[...at].sort().join(' ')}${mode === null ? '' : ` ${mode}`}`;

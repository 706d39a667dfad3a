import type { Weighed, Weighing } from './search';

/** χ² without noise up to which two causes count as one answer. */
export const inseparable = 4;

/** A cause with its probability, and the group it cannot be told from. */
export interface Ranked extends Weighed {
  readonly probability: number;
  readonly group: number;
}

/** Causes less likely than this are not told. */
const negligible = 1e-4;
const most = 1000;

/**
 * Probabilities, likeliest first, and groups: each leader takes the causes that its own noise-free figures could not tell from
 * itself. `as-designed` is always among them. Sorted by probability; group numbers rise with first appearance.
 */
export function ranked(weighing: Weighing, all: readonly Weighed[]): Ranked[] {
  const top = Math.max(...all.map((one) => one.log));
  const total = all.reduce((sum, one) => sum + Math.exp(one.log - top), 0);
  const sorted = all
    .map((one, order) => ({ one, order, probability: Math.exp(one.log - top) / total }))
    .sort((a, b) => b.probability - a.probability || a.order - b.order);
  const told = sorted.filter(
    ({ one, probability }, k) => (k < most && probability >= negligible) || one.hypothesis.cause === 'as-designed',
  );
  const groups: Weighed[] = [];
  return told.map(({ one, probability }) => {
    let group = groups.findIndex(
      (leader) =>
        leader.best !== null &&
        one.best !== null &&
        (leader.best.fit === one.best.fit || weighing.apart(leader, one) <= inseparable),
    );
    if (group < 0) {
      group = groups.length;
      groups.push(one);
    }
    return { ...one, probability, group: group + 1 };
  });
}

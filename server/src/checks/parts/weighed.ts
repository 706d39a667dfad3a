import type { BoardNetwork } from '../../circuit/from-board/build';
import { atDrops } from '../../circuit/from-board/drops';
import type { Basis } from '../../quantity/figure';

/**
 * The basis of a claim that rests on forward drops nobody has stated: where it holds at the least and at the most such a drop can
 * be, its word does not hang on the drop, and the drop is no guess of it.
 */
export function weighed(
  net: BoardNetwork | undefined,
  basis: readonly Basis[],
  holds: (net: BoardNetwork) => boolean,
): readonly Basis[] {
  const guess = (fact: Basis) => fact.evidence === 'assumed' && fact.what.includes(' taken as ');
  if (!net || !basis.some(guess)) return basis;
  if (!(['least', 'most'] as const).every((end) => holds(atDrops(net, end)))) return basis;
  return basis.map((fact) => (guess(fact) ? { ...fact, evidence: 'stated' as const } : fact));
}

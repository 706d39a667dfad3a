import { fixed } from '../channels/words';
import type { ExpectationMap } from './evaluate';
import { pairsAt } from './measured';
import { type Answer, type Asked, failed, met, untested } from './outcome';

/** dB by which the side played must lie above the other when no separation is asked for: common practice, no source. */
const apart = 20;

/** Two points carry left and right: each side played alone arrives on its own point, so far above the other. */
export function stereo(asked: Asked, of: NonNullable<ExpectationMap['stereo']>): Answer | undefined {
  const left = asked.points(of.value?.left)?.[0];
  const right = asked.points(of.value?.right)?.[0];
  if (!left || !right) return undefined;
  const wanted = of.value?.separation?.value?.value;
  const least = wanted === undefined ? apart : Math.abs(wanted);
  const found = pairsAt(asked, left, right);
  const sides: Partial<Record<'left' | 'right', { db: number; label: string; floor: boolean }>> = {};
  for (const { shown, stand } of found) {
    const side = shown.stimulus?.side;
    const relation = stand.pair.relation;
    if (side === 'unlike' && (relation === 'antiphase' || relation === 'same'))
      return failed(
        `${left.text} and ${right.text} carry one signal${relation === 'antiphase' ? ', opposed,' : ''} although unlike ones were played (correlation ${fixed(stand.pair.correlation ?? 0, 2)}).`,
        [shown.label],
        { correlation: stand.pair.correlation, relation },
      );
    if (side === 'both' && relation === 'antiphase')
      return failed(
        `${left.text} and ${right.text} carry one signal opposed (correlation ${fixed(stand.pair.correlation ?? 0, 2)}).`,
        [shown.label],
        { correlation: stand.pair.correlation, relation },
      );
    if (side !== 'left' && side !== 'right') continue;
    const separation = stand.pair.separation;
    const selective =
      separation && (side === 'left') !== stand.turned ? separation.firstDriven : separation?.secondDriven;
    const byLevel = stand.balance === null ? null : side === 'left' ? -stand.balance : stand.balance;
    // A side at its floor is apart by at least what is seen; selective at the tone where that was measured.
    const db = selective ?? byLevel ?? (relation === 'one-silent' ? Number.POSITIVE_INFINITY : undefined);
    if (db === undefined || relation === 'both-silent') continue;
    sides[side] = { db, label: shown.label, floor: separation?.floor === true };
  }
  const evidence = [sides.left?.label, sides.right?.label].flatMap((label) => label ?? []);
  const figures = { separationLeft: sides.left?.db ?? null, separationRight: sides.right?.db ?? null };
  for (const side of ['left', 'right'] as const) {
    const seen = sides[side];
    if (!seen || seen.db >= least || (seen.floor && wanted !== undefined && seen.db > apart)) continue;
    const point = side === 'left' ? left : right;
    return failed(
      seen.db <= -apart
        ? `played on the ${side} alone, the signal arrives on the other point (${fixed(-seen.db, 1)} dB above ${point.text}).`
        : `played on the ${side} alone, ${point.text} is ${fixed(seen.db, 1)} dB above the other; ${fixed(least, 0)} dB are expected.`,
      evidence,
      figures,
    );
  }
  if (sides.left && sides.right) return met(evidence, figures);
  const missing = (['left', 'right'] as const).filter((side) => !sides[side]);
  return untested(
    `a recording of ${left.text} and ${right.text} with the ${missing.join(' alone, and one with the ')} alone would test it.`,
  );
}

import type { WrittenPoint } from '../../board/copper';
import { degrees, fixed } from '../channels/words';
import { pairsAt } from './measured';
import { type Answer, type Asked, failed, met, untested } from './outcome';

/** dB between two points above which what is seen on the lesser is crosstalk, not the signal. */
const comparable = 10;

/** Two points carry one signal, in phase or opposed. */
export function phase(
  asked: Asked,
  points: readonly WrittenPoint[] | undefined,
  wanted: 'same' | 'antiphase',
): Answer | undefined {
  const [a, b] = points ?? [];
  if (!a || !b) return undefined;
  let seen: Answer | undefined;
  for (const { shown, stand } of pairsAt(asked, a, b)) {
    const { relation, correlation } = stand.pair;
    const side = shown.stimulus?.side;
    if (side === 'opposed' || side === 'unlike' || (relation !== 'same' && relation !== 'antiphase')) continue;
    if ((side === 'left' || side === 'right') && Math.abs(stand.balance ?? 99) > comparable) continue;
    const figures = { phase: stand.phase, correlation };
    const how = `${stand.phase === null ? '' : `phase ${degrees(stand.phase)}${stand.pair.phaseSd === null ? '' : ` ± ${fixed(2 * stand.pair.phaseSd, 1)}°`}, `}correlation ${fixed(correlation ?? 0, 2)}`;
    if (relation !== wanted)
      return failed(
        `${a.text} and ${b.text} carry one signal ${wanted === 'same' ? 'opposed' : 'in phase'} (${how}).`,
        [shown.label],
        figures,
      );
    seen = met([shown.label], figures);
  }
  return (
    seen ?? untested(`a recording of ${a.text} and ${b.text} with the same tone or noise on both sides would test it.`)
  );
}

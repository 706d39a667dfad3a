import { matches } from '../accepted';
import type { Check, Draft } from '../check';

/** It reasons beside the other checks: what it finds is not known here. */
const reasoned = 'cause-likely';

export const acceptanceUnused: Check = {
  name: 'acceptance-unused',
  reads: 'figures',
  page: {
    meaning: 'An accepted finding is not found any more: the entry silences nothing.',
    causes: 'The board was mended; the point was renamed; the check never spoke there.',
    next: 'Take the entry out, so that it cannot hide a later fault.',
    source: 'The board’s own `accepted` list.',
    blind: 'While recordings are still being measured nothing is said.',
  },
  run({ board, captures }, told) {
    if ([...captures.values()].some((state) => state.is === 'pending')) return [];
    return board.accepted.flatMap((entry): Draft[] => {
      // Without its reason it silences nothing yet, and `missing-key` says so.
      if (
        entry.check === undefined ||
        entry.check === reasoned ||
        !entry.because ||
        told.some((finding) => matches(entry, finding))
      )
        return [];
      return [
        {
          span: entry.span,
          message: `Nothing of ${entry.check} is found${entry.at.length > 0 ? ` at ${entry.at.join(', ')}` : ''}: this acceptance is not needed.`,
        },
      ];
    });
  },
};

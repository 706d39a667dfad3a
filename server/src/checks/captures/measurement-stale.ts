import { isCurrent, isReadingCurrent } from '../../board/currency';
import type { Check, Draft } from '../check';

export const measurementStale: Check = {
  name: 'measurement-stale',
  reads: 'copper',
  page: {
    meaning:
      'A reading or recording was taken before a rework that changed its own node or part: it speaks about a board that is no more.',
    causes: 'It was not repeated after the rework; `state` was not written.',
    next: 'Measure again, or write the `state` it was taken in.',
    source: 'The reworks of the board.',
    blind:
      'Only measurements of the last state but one and before are judged, and only where a rework touched their own node or a part on it. One whose `state` is written is meant to be old.',
  },
  run({ board }) {
    if (board.states.length < 2) return [];
    const stated = new Set<number>();
    for (const reading of board.parsed?.value?.readings?.value ?? [])
      if (reading.value?.state) stated.add(reading.span.start);
    const captured = new Set(
      (board.parsed?.value?.captures?.value ?? [])
        .filter((entry) => entry.value.value?.state)
        .map((entry) => entry.key.text),
    );
    const drafts: Draft[] = [];
    const message = (what: string) =>
      `${what} was taken as found; a later rework changed what it was taken on. Measure again, or state what it belongs to.`;
    for (const reading of board.readings)
      if (!stated.has(reading.span.start) && !isReadingCurrent(board, reading))
        drafts.push({
          span: reading.span,
          message: message(reading.label),
          at: reading.points.map((point) => point.ref.name),
          evidence: [reading.label],
        });
    for (const capture of board.captures) {
      const points = capture.channels.flatMap((channel) => [...channel.points]);
      if (captured.has(capture.name) || isCurrent(board, points, capture.state)) continue;
      drafts.push({
        span: capture.keySpan,
        message: message(`Capture ${capture.name}`),
        at: points.map((point) => point.ref.name),
        evidence: [`capture ${capture.name}`],
      });
    }
    return drafts;
  },
};

import type { Part } from '../../board/part';
import { type Weighed, weighParts } from '../../diagnosis/identify/identify';
import { type Standing, standing } from '../../diagnosis/identify/standing';
import type { Span } from '../../text/span';
import { perSnapshot } from '../memo';

/** Every chip of a snapshot held against the pinouts in reach, with what the recordings measured so far show of its pins. */
export const weighed = perSnapshot(({ board, captures }) =>
  weighParts(board, {
    figures: new Map([...captures].flatMap(([name, state]) => (state.is === 'ready' ? [[name, state.figures]] : []))),
  }),
);

/** A chip whose board states a pinout, and how that stands. */
export interface Judged {
  readonly weighed: Weighed;
  readonly part: Part;
  readonly standing: Standing;
  /** Where the board names the pinout. */
  readonly span: Span;
}

/** The chips whose stated pinout can be judged. */
export const judged = perSnapshot((snapshot): readonly Judged[] =>
  weighed(snapshot).flatMap((one) => {
    const found = standing(one);
    const named = one.part.pinoutName;
    return found && named ? [{ weighed: one, part: one.part, standing: found, span: named.span }] : [];
  }),
);

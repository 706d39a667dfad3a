import { diagnose } from '../../diagnosis/causes/diagnose';
import type { Snapshot } from '../check';
import { perSnapshot } from '../memo';

/** The diagnosis of a snapshot, from those of its recordings that are measured. */
export const diagnosed = perSnapshot(({ board, captures, stop }: Snapshot) =>
  diagnose(
    {
      board,
      figures: new Map([...captures].flatMap(([name, state]) => (state.is === 'ready' ? [[name, state.figures]] : []))),
    },
    stop,
  ),
);

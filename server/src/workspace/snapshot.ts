import type { Board } from '../board/board';
import type { CaptureState, Snapshot } from '../checks/check';
import type { BoardFile } from '../dialect/board-file';
import { checkNames } from '../dialect/check-names';
import type { Parsed } from '../dialect/parse';

/** One immutable view of a board for the checks: thresholds are the board's, else the settings', else the table's. */
export const makeSnapshot = (
  board: Board,
  text: string,
  parsed: Parsed<BoardFile>,
  problems: Snapshot['problems'],
  captures: ReadonlyMap<string, CaptureState>,
  limits: Readonly<Record<string, number>>,
): Snapshot => ({
  board,
  text,
  problems: [...parsed.problems, ...problems],
  broken: parsed.broken,
  captures,
  limit: (check) => board.limits.get(check) ?? limits[check] ?? checkNames.get(check)?.limit?.value ?? Number.NaN,
});

import type { Board } from './board';
import type { CopperNode, WrittenPoint } from './copper';
import type { Reading } from './measured';

/**
 * Whether what was measured at a point in an earlier state still speaks about the board as it is: no later rework changed the
 * copper of its node, or a part on it.
 */
export function isCurrent(board: Board, points: readonly WrittenPoint[], state: string): boolean {
  if (state === board.lastState) return true;
  const then = board.at(state);
  const now = board.at();
  return points.every((point) => {
    const before = then.node(point.ref.name);
    const after = now.node(point.ref.name);
    return before !== undefined && after !== undefined && sameNode(before, after);
  });
}

/** As `isCurrent`, for a reading: a current also by the part it flows through. */
export function isReadingCurrent(board: Board, { points, through, state }: Reading): boolean {
  if (!isCurrent(board, points, state)) return false;
  return through === undefined || board.at(state).parts.get(through) === board.at().parts.get(through);
}

function sameNode(before: CopperNode, after: CopperNode): boolean {
  if (before.points.length !== after.points.length) return false;
  const points = new Set(before.points);
  if (!after.points.every((point) => points.has(point))) return false;
  const parts = new Map(before.pins.map((pin) => [pin.name, pin.part]));
  return after.pins.every((pin) => parts.get(pin.name) === pin.part);
}

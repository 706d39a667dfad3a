import type { CopperNode } from '../../board/copper';
import type { Basis } from '../../quantity/figure';
import type { BoardNetwork } from './build';
import { hangsOnRailed } from './headroom';
import { pointOn } from './reference';
import { basisOf, type Read, restsOnElements } from './rests-on';
import { settledRest } from './settled';

/** A figure at rest, with what it rests on; undefined where it floats, or hangs on a value nobody has said. */
export interface Rest {
  readonly volts: number;
  readonly basis: readonly Basis[];
}

/**
 * V of one node above another at rest. `points` are those of the nodes that are meant, where not the nodes as such: joins that tie
 * them in are named in the basis.
 */
export function restBetween(
  board: BoardNetwork,
  a: CopperNode,
  b: CopperNode,
  points: readonly string[] = [pointOn(a), pointOn(b)],
): Rest | undefined {
  if (a === b) return { volts: 0, basis: basisOf(board, [], points) };
  const found = atRest(board, (solved) => solved.solve().between(a.name, b.name), points);
  return (
    found && {
      volts: found.value,
      get basis() {
        return found.basis;
      },
    }
  );
}

/**
 * Anything at rest that is read off the network, with its basis; undefined where it floats, needs a value nobody has said, or hangs on
 * a stage that would rest beyond its supplies.
 */
export function atRest(
  board: BoardNetwork,
  read: Read,
  points: readonly string[],
  floor?: number,
): { readonly value: number; readonly basis: readonly Basis[] } | undefined {
  const value = settledRest(board, read, floor);
  if (value === undefined || hangsOnRailed(board, board.network.dc.solved, read)) return undefined;
  return {
    value,
    get basis() {
      return basisOf(board, restsOnElements(board.network.dc.solved, read), points);
    },
  };
}

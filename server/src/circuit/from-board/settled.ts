import { network } from '../ac';
import { needs } from '../needs';
import type { BoardNetwork } from './build';
import { movedByOpenEnds } from './open-ends';
import type { Read } from './rests-on';

/**
 * Anything at rest that is read off the network as it stands; undefined where it floats, needs a value nobody has said, or hangs
 * on where a part's other end goes or what holds a node. `floor` is what counts as nothing, in the unit of what is read: 0.1 V, else.
 */
export function settledRest(board: BoardNetwork, read: Read, floor?: number): number | undefined {
  const { netlist } = board;
  const { dc } = board.network;
  if (!dc.settled) return undefined;
  const real = (found: ReturnType<Read>) => (found === null || typeof found === 'number' ? found : found.re);
  const value = real(read(dc.solved));
  if (value === null || movedByOpenEnds(board, value, (solved) => real(read(solved)), floor)) return undefined;
  return needs(netlist, (other) => real(read(network(other).dc.solved))).length > 0 ? undefined : value;
}

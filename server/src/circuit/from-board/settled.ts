import { network } from '../ac';
import { needs } from '../needs';
import type { BoardNetwork } from './build';
import type { Read } from './rests-on';

/** Anything at rest that is read off the network as it stands; undefined where it floats or needs a value nobody has said. */
export function settledRest({ network: { dc }, netlist }: BoardNetwork, read: Read): number | undefined {
  if (!dc.settled) return undefined;
  const real = (found: ReturnType<Read>) => (found === null || typeof found === 'number' ? found : found.re);
  const value = real(read(dc.solved));
  if (value === null || needs(netlist, (other) => real(read(network(other).dc.solved))).length > 0) return undefined;
  return value;
}

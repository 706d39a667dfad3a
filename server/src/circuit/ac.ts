import { type OperatingPoint, operatingPoint, resolved } from './dc';
import { factorLinear, type Solved } from './factor';
import type { Netlist } from './netlist';

/** A network with its state at rest and its factorisations, each worked out when first asked for. */
export interface Network {
  readonly netlist: Netlist;
  readonly dc: OperatingPoint;
  /** Small signals at a frequency in Hz, diodes in their state at rest; 0 is DC itself. */
  at(frequency: number): Solved;
}

/** A factorisation holds a whole matrix: beyond this many the oldest goes. */
const mostKept = 64;

/** Opens a network: nothing is worked out before it is asked for. */
export function network(netlist: Netlist): Network {
  let dc: OperatingPoint | undefined;
  const rest = () => {
    dc ??= operatingPoint(netlist);
    return dc;
  };
  const hasDiodes = netlist.elements.some((element) => element.kind === 'diode');
  const kept = new Map<number, Solved>();
  return {
    netlist,
    get dc() {
      return rest();
    },
    at(frequency) {
      let solved = frequency === 0 ? rest().solved : kept.get(frequency);
      if (!solved) {
        solved = factorLinear(resolved(netlist, hasDiodes ? rest().diodes : new Map()), frequency);
        if (kept.size >= mostKept) kept.delete(kept.keys().next().value!);
        kept.set(frequency, solved);
      }
      return solved;
    },
  };
}

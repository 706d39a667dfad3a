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

/** Frequencies in Hz from one to another inclusive, evenly over the logarithm, at least `perDecade` in each factor of ten. */
export function logarithmic(from: number, to: number, perDecade: number): number[] {
  const steps = Math.max(1, Math.ceil(Math.log10(to / from) * perDecade - 1e-9));
  return Array.from({ length: steps + 1 }, (_, k) => (k === steps ? to : from * (to / from) ** (k / steps)));
}

/** A sweep: what `read` finds in the network at each frequency in Hz, such as a transfer or an impedance. */
export const sweep = <T>(network: Network, frequencies: readonly number[], read: (solved: Solved) => T): T[] =>
  frequencies.map((frequency) => read(network.at(frequency)));

/**
 * Factors a network at one frequency in Hz (0: DC), its diodes in their state at rest. Changes made to the result keep
 * those states: a change that moves the bias of a diode asks for a new `network`.
 */
export const factor = (netlist: Netlist, frequency: number): Solved => network(netlist).at(frequency);

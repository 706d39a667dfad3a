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
        kept.set(frequency, solved);
      }
      return solved;
    },
  };
}

/**
 * Factors a network at one frequency in Hz (0: DC), its diodes in their state at rest. Changes made to the result keep
 * those states: a change that moves the bias of a diode asks for a new `network`.
 */
export const factor = (netlist: Netlist, frequency: number): Solved => network(netlist).at(frequency);

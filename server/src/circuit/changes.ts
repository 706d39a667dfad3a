import type { LinearNetlist } from './assemble';
import type { Element, Linear, Netlist } from './netlist';

/** One way in which a network may differ from itself. A changed element keeps its name and its nodes. */
export type Change =
  /** Nothing flows through the element any more: a broken joint, a lifted pin, a dead output. */
  | { readonly open: string }
  /** An impedance becomes 0 Ω. To short a source or an amplifier, bridge its nodes. */
  | { readonly short: string }
  /** The element of that name takes this one's values: a wrong value, an aged part. */
  | { readonly set: Element }
  /** `ohms` between two nodes: a solder bridge (0), leakage. It is called `name`, which no element may have yet. */
  | { readonly bridge: readonly [string, string]; readonly ohms: number; readonly name: string };

/** The name of the element that a change is about. */
export const changedName = (change: Change): string =>
  'open' in change ? change.open : 'short' in change ? change.short : 'set' in change ? change.set.name : change.name;

/** The network with the changes made, one after the other. A change that cannot be made is the caller's mistake and throws. */
export function applied(netlist: Netlist, changes: readonly Change[]): Netlist {
  const elements = [...netlist.elements];
  for (const change of changes) {
    const name = changedName(change);
    const at = elements.findIndex((element) => element.name === name);
    if ('bridge' in change) {
      if (at >= 0) throw new Error(`an element is already called ${name}`);
      elements.push({ kind: 'resistor', name, a: change.bridge[0], b: change.bridge[1], ohms: change.ohms });
      continue;
    }
    const old = elements[at];
    if (!old) throw new Error(`no element is called ${name}`);
    elements[at] = 'set' in change ? change.set : replaced(old, 'open' in change, netlist.reference);
  }
  return { ...netlist, elements };
}

/** As `applied`, for a network whose diodes have been resolved and which gets none. */
export function appliedLinear(netlist: LinearNetlist, changes: readonly Change[]): LinearNetlist {
  const { elements } = applied(netlist, changes);
  if (elements.some((element) => element.kind === 'diode')) throw new Error('a diode is set where none is expected');
  return { ...netlist, elements: elements as readonly Linear[] };
}

function replaced(element: Element, open: boolean, reference: string): Element {
  if (!open && !isImpedance(element)) throw new Error(`${element.name} cannot be shorted in its place`);
  const ohms = open ? Number.POSITIVE_INFINITY : 0;
  const { name } = element;
  if (element.kind === 'op-amp') return { kind: 'resistor', name, a: element.out, b: reference, ohms };
  return { kind: 'resistor', name, a: element.a, b: element.b, ohms };
}

const impedances = new Set(['resistor', 'capacitor', 'inductor', 'load']);

const isImpedance = (element: Element): boolean => impedances.has(element.kind);

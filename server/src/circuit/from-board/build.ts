import { type Copper, type CopperNode, type Join, joinText } from '../../board/copper';
import { perCopper } from '../../board/memo';
import type { Basis } from '../../quantity/figure';
import { type Network, network } from '../ac';
import { type Element, type Netlist, nodesOf } from '../netlist';
import { chips, type OutputSource, type Stage } from './chips';
import { loads } from './loads';
import { type Made, partElements } from './parts';
import { referenceOf } from './reference';
import { supplies } from './supplies';
import { ties } from './ties';

/** The board's electrical network in one state. Nodes are called as copper calls them. */
export interface BoardNetwork {
  readonly copper: Copper;
  readonly reference: CopperNode;
  readonly netlist: Netlist;
  readonly nodes: ReadonlySet<string>;
  /** Opened: solved when first asked. */
  readonly network: Network;
  readonly outputs: readonly OutputSource[];
  /** Outputs of op-amps and amplifiers. */
  readonly stages: readonly Stage[];
  /** What an element's values rest on. */
  readonly basis: ReadonlyMap<string, readonly Basis[]>;
  /** The points copper ties an element in by. */
  readonly points: ReadonlyMap<string, readonly string[]>;
}

/**
 * Nodes beyond which a board is not solved. A factorisation would not mind; what a figure rests on asks for one solution an element,
 * which grows with the square, and must not hold up the editor.
 */
const mostNodes = 1000;

/**
 * Builds the network from parts, values and joined copper; undefined where the board has nothing voltages could be against,
 * or more nodes than are solved here.
 */
export const boardNetwork = perCopper((copper): BoardNetwork | undefined => {
  const reference = referenceOf(copper);
  if (!reference) return undefined;
  const { made, outputs, stages } = chips(copper, reference);
  const { made: held, isHeld } = supplies(copper, reference);
  // What a diode between two supplies carries their nominals do not say: it would be set by how far they are off.
  const between = ({ element }: Made) =>
    element.kind === 'diode' && [element.a, element.b].every((name) => isHeld(copper.node(name)!));
  const all = [
    ...partElements(copper).filter((one) => !between(one)),
    ...ties(copper, reference),
    ...loads(copper, reference),
    ...made,
    ...held,
  ];
  const elements: Element[] = [];
  const basis = new Map<string, readonly Basis[]>();
  const points = new Map<string, readonly string[]>();
  for (const one of all) {
    if (basis.has(one.element.name)) continue;
    elements.push(one.element);
    basis.set(one.element.name, one.basis);
    points.set(one.element.name, one.points);
  }
  const nodes = new Set(elements.flatMap(nodesOf));
  if (nodes.size > mostNodes) return undefined;
  const netlist = { reference: reference.name, elements };
  return { copper, reference, netlist, nodes, network: network(netlist), outputs, stages, basis, points };
});

/** Joins as facts a figure rests on. */
export const joinBasis = (joins: readonly Join[]): Basis[] =>
  joins.map((join) => ({
    what: joinText(join),
    evidence: join.evidence,
  }));

import type { Copper, CopperNode } from './copper';
import type { Kind } from './designator';
import { perCopper } from './memo';
import type { Part } from './part';

/** A fitted part between two nodes. A potentiometer gives two, a switch with several contacts one a pair. */
export interface Element {
  readonly part: Part;
  readonly pins: readonly [string, string];
  readonly nodes: readonly [CopperNode, CopperNode];
}

const pairs: Partial<Record<Kind, readonly (readonly [string, string])[]>> = {
  resistor: [['1', '2']],
  capacitor: [['1', '2']],
  inductor: [['1', '2']],
  ferrite: [['1', '2']],
  fuse: [['1', '2']],
  varistor: [['1', '2']],
  crystal: [
    ['1', '2'],
    ['1', '3'],
  ],
  cell: [['1', '2']],
  loudspeaker: [['1', '2']],
  microphone: [['1', '2']],
  switch: [['1', '2']],
  diode: [
    ['A', 'K'],
    ['1', '2'],
  ],
  led: [
    ['A', 'K'],
    ['1', '2'],
  ],
  zener: [
    ['A', 'K'],
    ['1', '2'],
  ],
  tvs: [
    ['A', 'K'],
    ['1', '2'],
  ],
  potentiometer: [
    ['1', '2'],
    ['2', '3'],
    ['4', '5'],
    ['5', '6'],
  ],
};

/** A fitted part with two ends, as far as copper has met them. */
export interface EndsMet extends Omit<Element, 'nodes'> {
  readonly nodes: readonly [CopperNode | undefined, CopperNode | undefined];
}

/** Every fitted two-terminal element of a state of which one end at least has been met, in a stable order. */
export const endsMet = perCopper((copper): readonly EndsMet[] => {
  const found: EndsMet[] = [];
  for (const part of copper.parts.values()) {
    if (!part.fitted || !part.kind) continue;
    const own =
      part.kind === 'switch' && part.contacts.length === 2
        ? [[part.contacts[0]!, part.contacts[1]!] as const]
        : pairs[part.kind];
    for (const [a, b] of own ?? []) {
      const nodes = [copper.nodeOf(part, a), copper.nodeOf(part, b)] as const;
      if (nodes[0] || nodes[1]) found.push({ part, pins: [a, b], nodes });
    }
  }
  return found;
});

/** Every fitted two-terminal element of a state, in a stable order; each pin must have been met in copper. */
export const elements = perCopper((copper): readonly Element[] =>
  endsMet(copper).flatMap(({ part, pins, nodes: [first, second] }) =>
    first && second ? [{ part, pins, nodes: [first, second] }] : [],
  ),
);

const byNode = perCopper((copper) => {
  const map = new Map<CopperNode, Element[]>();
  for (const element of elements(copper))
    for (const end of new Set(element.nodes)) {
      const list = map.get(end);
      if (list) list.push(element);
      else map.set(end, [element]);
    }
  return map;
});

/** The elements that touch a node. */
export const elementsAt = (copper: Copper, node: CopperNode): readonly Element[] => byNode(copper).get(node) ?? [];

/** The far node of an element seen from one of its ends, and the pins in that order. */
export function across(
  element: Element,
  from: CopperNode,
): { readonly to: CopperNode; readonly pins: readonly [string, string] } {
  return element.nodes[0] === from
    ? { to: element.nodes[1], pins: element.pins }
    : { to: element.nodes[0], pins: [element.pins[1], element.pins[0]] };
}

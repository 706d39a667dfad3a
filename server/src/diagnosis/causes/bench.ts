import type { Copper, CopperNode, Join } from '../../board/copper';
import { elements as twoTerminals } from '../../board/elements';
import { type BoardNetwork, boardNetwork } from '../../circuit/from-board/build';
import type { Element, OpAmp, Vcvs } from '../../circuit/netlist';
import { wire } from './ports';

/** A join that may be tried open: the points it ties to the rest of their node. */
export interface Joint {
  /** The element that stands for it: `wire` Ω. */
  readonly element: string;
  readonly points: readonly string[];
  /** `common`: the return contact of a connector; `contact`: another of its contacts; `join`: copper as written. */
  readonly kind: 'common' | 'contact' | 'join';
  readonly join: Join | undefined;
}

/** A board's network made ready for faults: outputs with an inner node, joints that may open, no float, nothing at 0 Ω. */
export interface Bench {
  readonly copper: Copper;
  readonly board: BoardNetwork;
  readonly reference: string;
  readonly elements: readonly Element[];
  readonly joints: readonly Joint[];
  /** Outputs of amplifier sections, each with the element it drives its node through. */
  readonly sections: readonly { readonly element: string; readonly point: string; readonly part: string }[];
  /** The node a point (canonical name) lies on; undefined where copper does not know it. */
  nodeOf(point: string): string | undefined;
}

/** Ω from every node to the reference: far above anything on a board, so that an opened node is at rest, not afloat. */
const stray = 1e8;

/**
 * Ω that the stiffest output has, a loudspeaker amplifier's: above the wires and joints beside it, so that an output shorted to a pin
 * is silent and no divider. Common practice, no source.
 */
const stiffest = 0.05;

/** Element that is an output's own impedance. */
export const outOf = (output: string): string => `${output} out`;

/** Makes the bench network of one state; undefined where the board has nothing voltages could be against. */
export function benchOf(copper: Copper): Bench | undefined {
  const board = boardNetwork(copper);
  if (!board) return undefined;
  const renamed = new Map<string, string>();
  const joints: Joint[] = [];
  const made: Element[] = [];
  const joint = (node: string, beyond: string, one: Omit<Joint, 'element'>) => {
    const element = `joint ${one.points.join(' ')}`;
    for (const point of one.points) renamed.set(point, beyond);
    made.push({ kind: 'resistor', name: element, a: beyond, b: node, ohms: wire });
    joints.push({ ...one, element });
  };
  for (const [contact, kind] of loadedContacts(copper, board)) {
    const node = copper.node(contact);
    if (node && node.pins.length > 1)
      joint(node.name, `contact ${contact}`, { points: [contact], kind, join: undefined });
  }
  for (const { node, join, points } of islands(copper))
    if (!points.some((point) => renamed.has(point)))
      joint(node.name, `beyond ${points.join(' ')}`, { points, kind: 'join', join });

  const ends = endPoints(copper, board);
  const outputs = new Set(board.outputs.map((output) => output.name));
  const reference = board.reference.name;
  const elements: Element[] = [];
  const sections: Bench['sections'][number][] = [];
  for (const element of board.netlist.elements) {
    if (element.kind === 'op-amp' || element.kind === 'vcvs') {
      const name = `section ${element.name}`;
      const [out, ohms] = element.kind === 'op-amp' ? [element.out, loopOhms] : [element.a, element.ohms ?? 0];
      elements.push(driver(element, `inside ${name}`, reference));
      elements.push({ kind: 'resistor', name, a: `inside ${name}`, b: out, ohms: Math.max(ohms, stiffest) });
      const point = sectionPoint(copper, element.name);
      if (point !== undefined) sections.push({ element: name, point, part: element.name.split(' ')[0]! });
      continue;
    }
    const [from, to] = ends.get(element.name) ?? [];
    const a = (from !== undefined && renamed.get(from)) || element.a;
    const b = (to !== undefined && renamed.get(to)) || element.b;
    if (element.kind === 'voltage' && outputs.has(element.name)) {
      const inside = `inside ${element.name}`;
      elements.push({ ...element, a: inside, b, ohms: 0 });
      elements.push({
        kind: 'resistor',
        name: outOf(element.name),
        a: inside,
        b: a,
        ohms: Math.max(element.ohms ?? 0, stiffest),
      });
    } else elements.push(atLeastAWire({ ...element, a, b }));
  }
  const all = [...elements, ...made];
  const nodes = new Set(all.flatMap((element) => (element.kind === 'op-amp' ? [element.out] : [element.a, element.b])));
  const leaks = [...nodes]
    .filter((node) => node !== reference)
    .map((node): Element => ({ kind: 'resistor', name: `stray ${node}`, a: node, b: reference, ohms: stray }));
  return {
    copper,
    board,
    reference,
    elements: [...all, ...leaks],
    joints,
    sections,
    nodeOf: (point) => renamed.get(point) ?? copper.node(point)?.name,
  };
}

/** Open-loop gain of an op-amp, and Ω between it and its output: with feedback neither shows, and without output the loop is open. */
const openLoop = 1e5;
const loopOhms = 10;

function driver(element: OpAmp | Vcvs, inside: string, reference: string): Vcvs {
  if (element.kind === 'vcvs') return { ...element, a: inside, ohms: 0 };
  const { name, plus, minus } = element;
  return { kind: 'vcvs', name, a: inside, b: reference, plus, minus, gain: openLoop };
}

/** The pin a section's element drives: "U2 A" its first output, "U2 P 8" that pin of a bridge. */
function sectionPoint(copper: Copper, element: string): string | undefined {
  const [designator, name, pin] = element.split(' ');
  const part = copper.parts.get(designator!);
  const out = pin ?? part?.pinout?.sections.find((one) => one.name === name)?.out[0];
  return out === undefined ? undefined : part?.point(out);
}

function atLeastAWire(element: Element): Element {
  if (element.kind === 'resistor' || element.kind === 'load')
    return element.ohms !== null && element.ohms < wire ? { ...element, ohms: wire } : element;
  // Bulk and dynamic resistance: what a change of its state is taken from.
  if (element.kind === 'diode') return { ...element, ohms: Math.max(element.ohms ?? 0, 0.5) };
  return element.kind === 'inductor' ? { ...element, dcr: Math.max(element.dcr ?? 0, wire) } : element;
}

const carries = new Set(['left', 'right', 'mono', 'hot', 'cold']);

/** Common contacts of audio connectors, and contacts that a load hangs on; commons first. */
function loadedContacts(copper: Copper, board: BoardNetwork): [string, 'common' | 'contact'][] {
  const found = new Map<string, 'common' | 'contact'>();
  for (const part of copper.parts.values()) {
    if (!part.fitted || part.kind !== 'connector') continue;
    const audio = part.contacts.some(
      (contact) => carries.has(part.duty(contact) ?? '') && copper.nodeOf(part, contact),
    );
    const common = part.contacts.find((contact) => part.duty(contact) === 'common' && copper.nodeOf(part, contact));
    if (common !== undefined && audio) found.set(part.point(common), 'common');
    for (const contact of part.contacts) {
      if (!board.basis.has(`load at ${part.point(contact)}`)) continue;
      found.set(part.point(contact), 'contact');
      // A balanced load hangs between both legs.
      const cold = part.contacts.find((other) => part.duty(other) === 'cold' && copper.nodeOf(part, other));
      if (part.duty(contact) === 'hot' && cold !== undefined) found.set(part.point(cold), 'contact');
    }
  }
  return [...found].sort((a, b) => (a[1] === b[1] ? 0 : a[1] === 'common' ? -1 : 1));
}

/** The points an element's two ends lie on, where they are known. */
function endPoints(copper: Copper, board: BoardNetwork): Map<string, [string, string | undefined]> {
  const ends = new Map<string, [string, string | undefined]>();
  for (const { part, pins } of twoTerminals(copper))
    if (!ends.has(part.designator)) ends.set(part.designator, [part.point(pins[0]), part.point(pins[1])]);
  for (const output of board.outputs) ends.set(output.name, [output.name, undefined]);
  for (const part of copper.parts.values()) {
    if (part.kind !== 'connector') continue;
    const common = part.contacts.find((contact) => part.duty(contact) === 'common' && copper.nodeOf(part, contact));
    const cold = part.contacts.find((contact) => part.duty(contact) === 'cold' && copper.nodeOf(part, contact));
    for (const contact of part.contacts) {
      const back = part.duty(contact) === 'hot' ? (cold ?? common) : common;
      const point = part.point(contact);
      ends.set(`load at ${point}`, [point, back === undefined ? undefined : part.point(back)]);
    }
  }
  return ends;
}

/**
 * Joins that alone tie several parts to the rest of their node: without such a join those parts hang together, apart from the
 * rest. A join that ties one part alone is that part's open, and needs no joint of its own.
 */
function islands(copper: Copper): { node: CopperNode; join: Join; points: string[] }[] {
  const found: { node: CopperNode; join: Join; points: string[] }[] = [];
  const taken = new Set<string>();
  for (const join of copper.joins) {
    const first = join.points[0];
    const node = first && copper.node(first.ref.name);
    if (!node || join.points.length < 2) continue;
    const others = copper.joins.filter(
      (other) => other !== join && other.points.length > 1 && copper.node(other.points[0]!.ref.name) === node,
    );
    if (others.length === 0) continue;
    const core = reached(others, node);
    const points = node.points.filter((point) => !core.has(point));
    const parts = new Set(node.pins.filter((pin) => points.includes(pin.name)).map((pin) => pin.part));
    const staysBehind = node.pins.some((pin) => core.has(pin.name)) || node.nets.some((net) => core.has(net.name));
    if (parts.size < 2 || !staysBehind || points.some((point) => taken.has(point))) continue;
    if (node.pins.some((pin) => points.includes(pin.name) && (pin.part.pinout?.sections.length ?? 0) > 0)) continue;
    for (const point of points) taken.add(point);
    found.push({ node, join, points });
  }
  return found;
}

/** The largest set of points that joins hold together; one with a net's name before any other. */
function reached(joins: readonly Join[], node: CopperNode): Set<string> {
  let best = new Set<string>();
  const left = new Set(joins);
  const weight = (set: Set<string>) => set.size + (node.nets.some((net) => set.has(net.name)) ? 1000 : 0);
  while (left.size > 0) {
    const set = new Set<string>();
    for (let grew = true; grew; ) {
      grew = false;
      for (const join of left)
        if (set.size === 0 || join.points.some((point) => set.has(point.ref.name))) {
          for (const point of join.points) set.add(point.ref.name);
          left.delete(join);
          grew = true;
        }
    }
    if (weight(set) > weight(best)) best = set;
  }
  return best;
}

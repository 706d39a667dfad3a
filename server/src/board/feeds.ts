import type { Copper, CopperNode } from './copper';
import { across, elementsAt } from './elements';
import { isGround, roleOf } from './roles';

/** What a supply pin's search for its feed came to. */
export interface FeedSearch {
  /** How it is fed, in words; undefined where nothing was found. */
  readonly by: string | undefined;
  /** Nodes searched. */
  readonly nodes: readonly CopperNode[];
  /** Everything on all of them is listed: not found means not there. */
  readonly complete: boolean;
}

const passes = new Set(['fuse', 'ferrite', 'inductor', 'resistor', 'switch']);
const passesBetweenAllPins = new Set(['relay', 'transistor', 'npn', 'pnp', 'nmos', 'pmos', 'jfet']);
const diodes = new Set(['diode', 'led', 'zener', 'tvs']);
const audioDuties = new Set([
  'left',
  'right',
  'mono',
  'hot',
  'cold',
  'microphone',
  'data',
  'switch',
  'common',
  'shell',
]);

/** What feeds a node by itself; `stated`: whether the volts of its nets count. */
function sourceOn(node: CopperNode, stated: boolean): string | undefined {
  for (const net of node.nets) {
    if (stated && (net.volts !== undefined || net.voltsBroken)) return `net ${net.name}`;
    if (net.role === 'supply-out') return `net ${net.name}`;
  }
  for (const pin of node.pins) {
    if (!pin.part.fitted) continue;
    if (pin.part.kind === 'cell') return `cell ${pin.part.designator}`;
    if (pin.duty === 'power') return `contact ${pin.name}`;
    if (pin.part.kind === 'connector' && (pin.duty === undefined || !audioDuties.has(pin.duty)))
      return `connector ${pin.part.designator}`;
    if (pin.part.kind === 'rectifier-bridge') return `rectifier ${pin.part.designator}`;
    if (pin.part.kind === 'transformer') return `transformer ${pin.part.designator}`;
    const role = roleOf(pin, node);
    if (role === 'supply-out' || role === 'audio-out') return `pin ${pin.name}`;
    if (pin.part.kind === 'regulator' && role === undefined) return `regulator ${pin.part.designator}`;
    if (pin.part.pinout?.sections.some((section) => section.kind === 'regulator' && section.out.includes(pin.pin)))
      return `regulator ${pin.part.designator}`;
    // A chip whose pins are not described may be the regulator.
    if (!pin.spec?.role && (pin.part.kind === 'chip' || pin.part.kind === undefined))
      return `part ${pin.part.designator}`;
  }
  return undefined;
}

/**
 * Looks for what feeds a supply node: a cell, regulator, power contact, net with volts or a supply-out pin, on it or reached
 * through F, FB, L, R, SW, K, Q, connectors and a diode the right way round. Grounds are not walked through. Of a start that reads
 * `dead`, the volts its own nets state are what it should have, no feed.
 */
export function findFeed(copper: Copper, start: CopperNode, negative: boolean, dead = false): FeedSearch {
  const seen = new Set([start]);
  const queue = [start];
  for (let node = queue.shift(); node; node = queue.shift()) {
    const by = sourceOn(node, !(dead && node === start));
    if (by !== undefined) return { by, nodes: [...seen], complete: false };
    const visit = (next: CopperNode | undefined) => {
      if (!next || seen.has(next) || isGround(next)) return;
      seen.add(next);
      queue.push(next);
    };
    for (const element of elementsAt(copper, node)) {
      const { to, pins } = across(element, node);
      const kind = element.part.kind!;
      if (passes.has(kind)) visit(to);
      // Current comes to a positive supply out of the cathode, to a negative one out of the anode; unmarked ends pass either way.
      else if (diodes.has(kind) && (pins[0] === (negative ? 'A' : 'K') || /^[12]$/.test(pins[0]))) visit(to);
    }
    for (const pin of node.pins) {
      if (!pin.part.fitted || !pin.part.kind || !passesBetweenAllPins.has(pin.part.kind)) continue;
      for (const other of copper.nodes)
        if (other.pins.some((end) => end.part === pin.part && end !== pin)) visit(other);
    }
  }
  const nodes = [...seen];
  return { by: undefined, nodes, complete: nodes.every((node) => node.complete) };
}

import type { CopperNode, PinOnNode } from '../../board/copper';
import { isGround, isSupply, roleOf } from '../../board/roles';
import type { BoardNetwork } from './build';
import type { OpenEnd } from './open-ends';
import { pointOn } from './reference';

/** Ω behind what may feed a node, and behind a pin that may pull it: a supply, a driver; a pull-up. Common practice, no source. */
const feeds = 100;
const pulls = 10e3;

/** Parts that may hold a node and of which the network knows nothing. */
const silent = new Set(['transistor', 'npn', 'pnp', 'nmos', 'pmos', 'jfet', 'relay', 'transformer', 'regulator']);

/** Nodes that something holds of which no volts are said: a supply, a transistor, a cell without its volts, a pin that may drive. */
export function unsaid({ copper, netlist, reference }: BoardNetwork): OpenEnd[] {
  const held = new Set(
    netlist.elements.flatMap((element) =>
      element.kind === 'voltage' ? [element.a] : element.kind === 'op-amp' ? [element.out] : [],
    ),
  );
  return copper.nodes.flatMap((node): OpenEnd[] => {
    if (node === reference || isGround(node) || held.has(node.name)) return [];
    if (isSupply(node)) return [{ asks: `the volts of ${pointOn(node)}`, node: node.name, ohms: feeds }];
    const ohms = Math.min(...node.pins.map((pin) => behind(pin, node)));
    const pin = node.pins.find((one) => behind(one, node) === ohms);
    return pin && Number.isFinite(ohms) ? [{ asks: `the volts of ${pin.name}`, node: node.name, ohms }] : [];
  });
}

/** Ω behind which a pin may hold its node; infinite where it does not, or the network has it already. */
function behind(pin: PinOnNode, node: CopperNode): number {
  const { part } = pin;
  if (!part.fitted) return Number.POSITIVE_INFINITY;
  if (silent.has(part.kind ?? '') && !part.pinout) return feeds;
  if (!part.pinout) return Number.POSITIVE_INFINITY;
  const role = roleOf(pin, node);
  if (role === 'supply-out') return feeds;
  return role === undefined || role === 'data' ? pulls : Number.POSITIVE_INFINITY;
}

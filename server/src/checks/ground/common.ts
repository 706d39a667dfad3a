import type { Copper, CopperNode } from '../../board/copper';
import { maybeSameGround } from '../../board/grounds';
import type { Part } from '../../board/part';
import type { Snapshot } from '../check';

/** The common contact of a connector and the node it lies on; undefined where it has none that copper reaches. */
export function commonOf(
  copper: Copper,
  connector: Part,
): { readonly name: string; readonly node: CopperNode } | undefined {
  for (const contact of connector.contacts) {
    if (connector.duty(contact) !== 'common') continue;
    const node = copper.nodeOf(connector, contact);
    if (node) return { name: connector.point(contact), node };
  }
  return undefined;
}

/** What shows that two nodes are apart: everything on one of them is listed, an `apart` list, a reading. Undefined: nothing does. */
export function shownApart({ board }: Snapshot, copper: Copper, a: CopperNode, b: CopperNode): string | undefined {
  if (copper.foundApart(a, b)) return 'found apart';
  for (const reading of board.readings) {
    if (reading.points.length !== 2 || (reading.kind !== 'ohms' && reading.kind !== 'beeps')) continue;
    const [first, second] = reading.points.map((point) => copper.node(point.ref.name));
    if (!((first === a && second === b) || (first === b && second === a))) continue;
    const joined = reading.kind === 'beeps' ? reading.value === 1 : reading.value <= 10;
    return joined ? undefined : reading.label;
  }
  const listed = (node: CopperNode) =>
    copper.nodes.every((other) => other === node || !maybeSameGround(copper, other, node) || other.complete) &&
    node.complete;
  if (listed(a) || listed(b)) return `all of ${listed(a) ? a.name : b.name} is listed`;
  return undefined;
}

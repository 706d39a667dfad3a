import type { Copper, CopperNode } from '../../board/copper';
import type { Part } from '../../board/part';

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

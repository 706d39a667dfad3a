import type { Copper, CopperNode } from '../../board/copper';
import { elements } from '../../board/elements';
import { groundSign, isGround } from '../../board/roles';
import { stiff } from './chips';
import type { Made } from './parts';
import { pointOn } from './reference';

/**
 * Grounds between which nothing has been found yet. While neither is listed completely and no `apart` parts them, they are taken as
 * one with the reference: the strap is more likely not found than not there, and nothing may be concluded from its absence.
 */
export function ties(copper: Copper, reference: CopperNode): Made[] {
  const together = new Map<CopperNode, CopperNode>();
  const root = (node: CopperNode): CopperNode => {
    const up = together.get(node);
    return up === undefined ? node : root(up);
  };
  for (const { nodes } of elements(copper)) {
    if (!nodes.every(isGround) || root(nodes[0]) === root(nodes[1])) continue;
    together.set(root(nodes[0]), root(nodes[1]));
  }
  const made: Made[] = [];
  for (const node of copper.nodes) {
    const sign = groundSign(node);
    if (!sign || !isGround(node) || root(node) === root(reference)) continue;
    if (node.complete || reference.complete || copper.foundApart(node, reference)) continue;
    together.set(root(node), root(reference));
    made.push({
      element: {
        kind: 'resistor',
        name: `${node.name} with ${reference.name}`,
        a: node.name,
        b: reference.name,
        ohms: stiff,
      },
      basis: [{ what: `${node.name} and ${reference.name} being one ground`, evidence: 'assumed' }],
      points: [pointOn(node), pointOn(reference)],
    });
  }
  return made;
}

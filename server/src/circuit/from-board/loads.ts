import type { Copper, CopperNode } from '../../board/copper';
import { formatQuantity } from '../../quantity/format';
import type { Made } from './parts';
import { pointOn } from './reference';

const driven = new Set(['left', 'right', 'mono']);

/** What is plugged in or stated at a net: from each contact to its return, which is the common or, balanced, the other leg. */
export function loads(copper: Copper, reference: CopperNode): Made[] {
  const made: Made[] = [];
  for (const part of copper.parts.values()) {
    if (!part.fitted || part.kind !== 'connector' || part.load === undefined) continue;
    const common = part.contacts.find((contact) => part.duty(contact) === 'common' && copper.nodeOf(part, contact));
    const cold = part.contacts.find((contact) => part.duty(contact) === 'cold' && copper.nodeOf(part, contact));
    for (const contact of part.contacts) {
      const duty = part.duty(contact);
      const back = duty === 'hot' ? (cold ?? common) : duty && driven.has(duty) ? common : undefined;
      const from = copper.nodeOf(part, contact);
      const to = back === undefined ? undefined : copper.nodeOf(part, back);
      if (!from || !to || back === undefined || from === to) continue;
      made.push({
        element: { kind: 'load', name: `load at ${part.point(contact)}`, a: from.name, b: to.name, ohms: part.load },
        basis: [{ what: `load at ${part.designator} ${formatQuantity(part.load, 'Ω')}`, evidence: 'stated' }],
        points: [part.point(contact), part.point(back)],
      });
    }
  }
  for (const node of copper.nodes)
    for (const net of node.nets) {
      if (net.load === undefined || node === reference) continue;
      made.push({
        element: { kind: 'load', name: `load at ${net.name}`, a: node.name, b: reference.name, ohms: net.load },
        basis: [{ what: `load at ${net.name} ${formatQuantity(net.load, 'Ω')}`, evidence: 'stated' }],
        points: [net.name, pointOn(reference)],
      });
    }
  return made;
}

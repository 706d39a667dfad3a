import type { Copper, CopperNode } from '../../board/copper';
import { elements } from '../../board/elements';
import { Strapped } from '../../board/grounds';
import { roleOf } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import { type Ground, groundOf, stiff } from './chips';
import type { Made } from './parts';
import { pointOn } from './reference';

/** Nominal volts of cells whose value is not stated. Common practice, no source. */
const cellVolts: Readonly<Record<string, number>> = {
  'lithium-ion': 3.7,
  'lithium-polymer': 3.7,
  'lithium-iron-phosphate': 3.2,
  'nickel-metal-hydride': 1.2,
  alkaline: 1.5,
  'lead-acid': 12,
};

/** Parts through which two nodes are one supply at DC: only one of them is held. A switch counts as closed. */
const passes = new Set(['fuse', 'ferrite', 'inductor', 'switch']);

/**
 * What holds DC on the board: cells, nets with volts, power contacts, supply outputs. One source a node, the surest first; and
 * whether a node is held by one, or through parts that drop nothing.
 */
export function supplies(
  copper: Copper,
  reference: CopperNode,
): { readonly made: Made[]; readonly isHeld: (node: CopperNode) => boolean } {
  const made: Made[] = [];
  const held = new Set<CopperNode>();
  const direct = new Strapped(
    copper,
    (part) => passes.has(part.kind ?? '') || (part.kind === 'resistor' && part.value?.value === 0),
  );
  const isHeld = (node: CopperNode) => [...held].some((other) => direct.same(other, node));
  for (const { part, pins, nodes } of elements(copper)) {
    if (part.kind !== 'cell' || nodes[0] === nodes[1]) continue;
    const dc = part.value?.value ?? (part.chemistry === undefined ? undefined : cellVolts[part.chemistry]);
    if (dc === undefined) continue;
    const says = part.value ? formatQuantity(dc, 'V') : `taken as ${formatQuantity(dc, 'V')}`;
    made.push({
      element: {
        kind: 'voltage',
        name: part.designator,
        a: nodes[0].name,
        b: nodes[1].name,
        dc,
        ohms: part.esr ?? stiff,
      },
      basis: [{ what: `${part.designator} ${says}`, evidence: 'stated' }],
      points: pins.map((pin) => part.point(pin)),
    });
    const plus = pins[0] === '1' ? nodes[0] : nodes[1];
    held.add(plus);
  }
  const common: Ground = { node: reference.name, point: pointOn(reference) };
  const hold = (node: CopperNode, point: string, name: string, dc: number, against: Ground) => {
    if (node === reference || node.name === against.node || isHeld(node)) return;
    held.add(node);
    made.push({
      element: { kind: 'voltage', name, a: node.name, b: against.node, dc, ohms: stiff },
      basis: [{ what: `${name} ${formatQuantity(dc, 'V')}`, evidence: 'stated' }],
      points: [point, against.point],
    });
  };
  for (const node of copper.nodes)
    for (const net of node.nets) {
      // An output's or an input's DC follows from the network; what a supply, bias or control line is held at is stated.
      if (!net.volts || net.role === 'ground' || net.role === 'audio-out' || net.role === 'audio-in') continue;
      hold(node, net.name, `net ${net.name}`, (net.volts.min + net.volts.max) / 2, common);
    }
  for (const node of copper.nodes)
    for (const pin of node.pins) {
      if (!pin.part.fitted || !pin.spec) continue;
      const role = roleOf(pin, node);
      const volts = pin.spec.bias ?? (pin.spec.volts && (pin.spec.volts.min + pin.spec.volts.max) / 2);
      if (volts === undefined || (role !== 'supply-out' && !(role === 'reference' && pin.spec.bias !== undefined)))
        continue;
      hold(node, pin.name, pin.name, volts, groundOf(copper, pin.part, reference));
    }
  // USB 2.0: VBUS is 5 V nominal.
  for (const node of copper.nodes)
    for (const pin of node.pins)
      if (pin.part.fitted && pin.part.style?.startsWith('usb') && pin.duty === 'power')
        hold(node, pin.name, pin.name, 5, common);
  return { made, isHeld };
}

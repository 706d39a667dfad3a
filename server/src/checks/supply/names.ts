import type { CopperNode } from '../../board/copper';
import { roleOf } from '../../board/roles';

/** The point that makes a node a supply: its net, else a power contact, a cell's plus, a supply pin. */
export function supplyName(node: CopperNode): string | undefined {
  return (
    node.nets.find((net) => net.role === 'supply' || net.role === 'supply-out')?.name ??
    node.pins.find((pin) => pin.part.fitted && (pin.duty === 'power' || (pin.part.kind === 'cell' && pin.pin === '1')))
      ?.name ??
    node.pins.find((pin) => pin.part.fitted && roleOf(pin, node) === 'supply')?.name
  );
}

/** The point that makes a node a ground: its net, else a contact or a cell's minus, else a pin. */
export function groundName(node: CopperNode): string | undefined {
  return (
    node.nets.find((net) => net.role === 'ground')?.name ??
    node.pins.find((pin) => pin.part.fitted && (pin.duty === 'ground' || (pin.part.kind === 'cell' && pin.pin === '2')))
      ?.name ??
    node.pins.find((pin) => pin.part.fitted && roleOf(pin, node) === 'ground')?.name
  );
}

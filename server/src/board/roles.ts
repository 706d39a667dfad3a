import type { CopperNode, PinOnNode } from './copper';
import { polarityOf } from './part';
import { foldPinName, type PinRole } from './pin-roles';

/** Whether a node is stated to be below ground throughout. */
export const isNegative = (node: CopperNode): boolean =>
  node.nets.some((net) => net.volts !== undefined && net.volts.max <= 0 && net.volts.min < 0);

const isPositive = (node: CopperNode): boolean =>
  node.nets.some((net) => net.volts !== undefined && net.volts.min > 0) ||
  node.pins.some((pin) => pin.part.fitted && pin.duty === 'power');

/**
 * What a pin is on this board. VSS, V− and VEE are supplies on a negative net, and V− and VEE on any supply net not stated to be
 * positive; the negative pins of charge-pump parts are grounds on a ground. Every other pin is what its data sheet says.
 */
export function roleOf(pin: PinOnNode, node: CopperNode): PinRole | undefined {
  const spec = pin.spec;
  if (!spec || spec.roleStated || spec.name === undefined) return spec?.role;
  const name = foldPinName(spec.name);
  if (!/VSS|VEE|^V-$|VNEG/.test(name)) return spec.role;
  if (spec.role === 'ground') {
    if (isNegative(node)) return 'supply';
    const supplied = node.nets.some((net) => net.role === 'supply' || net.role === 'supply-out');
    return /VEE|^V-/.test(name) && supplied && !isPositive(node) ? 'supply' : 'ground';
  }
  const grounded =
    node.nets.some((net) => net.role === 'ground') ||
    node.pins.some((other) => other !== pin && (other.duty === 'ground' || other.spec?.role === 'ground'));
  return grounded ? 'ground' : spec.role;
}

/** What says that a node is a ground: a ground net; a return contact or a cell's minus; a ground pin. Strongest first. */
export type GroundSign = 'net' | 'contact' | 'pin';

/** The strongest sign that a node is a ground; undefined where there is none. */
export function groundSign(node: CopperNode): GroundSign | undefined {
  if (node.nets.some((net) => net.role === 'ground')) return 'net';
  const cellPlus = node.pins.some((pin) => pin.part.fitted && pin.part.kind === 'cell' && pin.pin === '1');
  if (
    node.pins.some(
      (pin) => pin.part.fitted && (pin.duty === 'ground' || (pin.part.kind === 'cell' && pin.pin === '2' && !cellPlus)),
    )
  )
    return 'contact';
  if (node.pins.some((pin) => pin.part.fitted && roleOf(pin, node) === 'ground')) return 'pin';
  return undefined;
}

/** Whether a net's role, a power contact or a cell's plus says that a node carries a supply. */
export const isSupply = (node: CopperNode): boolean =>
  node.nets.some((net) => net.role === 'supply' || net.role === 'supply-out') ||
  node.pins.some((pin) => pin.part.fitted && (pin.duty === 'power' || (pin.part.kind === 'cell' && pin.pin === '1')));

/** Whether a node is a ground by its net or a contact, or by its pins with nothing against it. */
export function isGround(node: CopperNode): boolean {
  const sign = groundSign(node);
  return sign === 'net' || sign === 'contact' || (sign === 'pin' && !isSupply(node));
}

/** Supply pins on a node. */
export const supplyPins = (node: CopperNode): PinOnNode[] =>
  node.pins.filter((pin) => pin.part.fitted && roleOf(pin, node) === 'supply');

/** A pin as messages name it: "U1.2 (VSS)", "BT1.+". */
export function pinText({ name, part, pin, spec }: PinOnNode): string {
  if (spec?.name !== undefined) return `${name} (${spec.name})`;
  const polarity = polarityOf(part, pin);
  return polarity === undefined ? name : `${part.designator}.${polarity}`;
}

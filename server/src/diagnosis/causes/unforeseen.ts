import type { Copper, CopperNode } from '../../board/copper';
import { across, elementsAt } from '../../board/elements';
import { isGround, roleOf } from '../../board/roles';

const transistors = new Set(['transistor', 'npn', 'pnp', 'nmos', 'pmos', 'jfet']);
const ohmic = new Set(['resistor', 'potentiometer', 'inductor', 'ferrite', 'fuse', 'switch']);
const diodes = new Set(['diode', 'led', 'zener', 'tvs']);

/**
 * Why the DC at a point follows from nothing the network holds, in words; undefined where it may follow. What a transistor or an
 * electret capsule takes from a supply is not known, nor is what comes in from outside the board.
 */
export function unforeseen(copper: Copper, point: string): string | undefined {
  const start = copper.node(point);
  if (!start || isHeld(start)) return undefined;
  for (const node of reached(copper, start, false).nodes)
    for (const { part, duty } of node.pins)
      if (part.fitted && (duty === 'power' || part.kind === 'rectifier-bridge' || part.kind === 'transformer'))
        return `what ${part.designator} gives is not known`;
  const { nodes, fed } = reached(copper, start, true);
  const draws = fed && nodes.flatMap(({ pins }) => pins).find(({ part }) => part.fitted && takes(part.kind));
  return draws ? `what ${draws.part.designator} takes is not known` : undefined;
}

const takes = (kind: string | undefined): boolean => kind === 'microphone' || transistors.has(kind ?? '');

/** Whether something in the network holds a node: a stated net, a cell, a USB contact, an output. */
function isHeld(node: CopperNode): boolean {
  if (isGround(node) || node.nets.some(({ role, volts }) => volts && role !== 'audio-in' && role !== 'audio-out'))
    return true;
  return node.pins.some((pin) => {
    const { part, duty } = pin;
    if (!part.fitted) return false;
    if (part.kind === 'cell' || (duty === 'power' && part.style?.startsWith('usb'))) return true;
    if (part.pinout?.sections.some(({ out }) => out.includes(pin.pin))) return true;
    return ['audio-out', 'supply-out', 'reference'].includes(roleOf(pin, node) ?? '');
  });
}

/** Nodes from which a current may come to one, up to those that are held, and whether any of these is above or below ground. */
function reached(copper: Copper, start: CopperNode, through: boolean): { nodes: CopperNode[]; fed: boolean } {
  const seen = new Set([start]);
  let fed = false;
  const visit = (node: CopperNode) => {
    if (isHeld(node)) fed ||= !isGround(node);
    else seen.add(node);
  };
  // A set is walked in the order it grows.
  for (const node of seen) {
    for (const element of elementsAt(copper, node)) {
      const kind = element.part.kind ?? '';
      if (ohmic.has(kind) || (through && diodes.has(kind))) visit(across(element, node).to);
    }
    if (!through) continue;
    for (const { part } of node.pins)
      if (part.fitted && transistors.has(part.kind ?? ''))
        for (const other of copper.nodes) if (other.pins.some((pin) => pin.part === part)) visit(other);
  }
  return { nodes: [...seen], fed };
}

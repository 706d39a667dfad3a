import type { Copper, CopperNode } from '../../board/copper';
import { elements } from '../../board/elements';
import type { Part } from '../../board/part';
import { roleOf } from '../../board/roles';

/** Names of pins by which a part is told at power-up how to put out what it plays. Common practice, no source. */
const chooses = /(MODE|SEL|CFG|CONF|STRAP|DIFF|MONO|STEREO|BTL|^[FS]MT?\d*$)/i;

/**
 * Where a part's pins that may choose its output mode are tied: "U1.MODE is tied by R7 to VREG (low: stereo; high: differential)". What a
 * pin's note says stands behind it. Empty where no such pin is known, or nothing is known of its copper.
 */
export function strapsOf(part: Part, copper: Copper): string[] {
  return copper.nodes.flatMap((node) =>
    node.pins.flatMap((pin): string[] => {
      const name = pin.spec?.name;
      if (pin.part !== part || name === undefined || roleOf(pin, node) !== 'control' || !chooses.test(name)) return [];
      const tied = tieOf(copper, node);
      if (tied === undefined) return [];
      const note = pin.spec?.note;
      return [`${part.designator}.${name} is tied ${tied}${note === undefined ? '' : ` (${note})`}`];
    }),
  );
}

/** "to GND", "by R7 to VREG"; undefined where the node leads to neither a ground nor a supply. */
function tieOf(copper: Copper, node: CopperNode): string | undefined {
  if (fixed(node)) return `to ${nameOf(node)}`;
  for (const { part, nodes } of elements(copper)) {
    const [a, b] = nodes;
    if (part.kind !== 'resistor' || (a !== node && b !== node)) continue;
    const other = a === node ? b : a;
    if (fixed(other)) return `by ${part.designator} to ${nameOf(other)}`;
  }
  return undefined;
}

const nameOf = (node: CopperNode): string => node.nets[0]?.name ?? node.name;

const fixed = (node: CopperNode): boolean =>
  node.nets.some(({ role }) => role === 'ground' || role === 'supply') ||
  node.pins.some((pin) => ['ground', 'supply', 'supply-out'].includes(roleOf(pin, node) ?? ''));

import type { Copper, CopperNode } from './copper';
import { elements } from './elements';
import { perCopper } from './memo';
import type { Part } from './part';

/** Ohms up to which a resistor still makes two grounds one: common practice, no source. */
export const strapOhms = 10;

/** Whether a part makes its two nodes one ground: 0 Ω, ferrite, inductor, fuse, or a resistor up to 10 Ω. */
export function isStrap(part: Part): boolean {
  if (part.kind === 'ferrite' || part.kind === 'inductor' || part.kind === 'fuse') return true;
  return part.kind === 'resistor' && part.value !== undefined && part.value.value <= strapOhms;
}

/** A resistor of unknown value, a closed switch: it may be a strap, so nothing is concluded from its not being one. */
export const mayStrap = (part: Part): boolean =>
  isStrap(part) || (part.kind === 'resistor' && part.value === undefined) || part.kind === 'switch';

/** Which nodes are one through straps. */
export class Strapped {
  private readonly parent = new Map<CopperNode, CopperNode>();

  constructor(copper: Copper, through: (part: Part) => boolean = isStrap) {
    for (const element of elements(copper)) {
      if (!through(element.part)) continue;
      const a = this.root(element.nodes[0]);
      const b = this.root(element.nodes[1]);
      if (a !== b) this.parent.set(b, a);
    }
  }

  private root(node: CopperNode): CopperNode {
    let at = node;
    for (let up = this.parent.get(at); up !== undefined; up = this.parent.get(at)) at = up;
    return at;
  }

  same(a: CopperNode, b: CopperNode): boolean {
    return a === b || this.root(a) === this.root(b);
  }
}

const strapped = perCopper((copper) => new Strapped(copper));
const perhapsStrapped = perCopper((copper) => new Strapped(copper, mayStrap));

/** Whether two nodes are one ground by copper and straps. */
export const sameGround = (copper: Copper, a: CopperNode, b: CopperNode): boolean => strapped(copper).same(a, b);

/** As `sameGround`, but parts of unknown value count too: false means that nothing listed could make them one. */
export const maybeSameGround = (copper: Copper, a: CopperNode, b: CopperNode): boolean =>
  perhapsStrapped(copper).same(a, b);

import type { Copper, CopperNode } from '../../board/copper';
import { perCopper } from '../../board/memo';
import { outputs } from '../../board/paths';
import { groundSign, isGround } from '../../board/roles';

/** The node every voltage is against: the ground with the most pins, by net before contact before pin; without one the common of an output. */
export const referenceOf = perCopper((copper): CopperNode | undefined => {
  const strength = { net: 3, contact: 2, pin: 1 } as const;
  let best: CopperNode | undefined;
  let score = 0;
  for (const node of copper.nodes) {
    const sign = groundSign(node);
    if (!sign || !isGround(node)) continue;
    const own = strength[sign] * 1000 + node.pins.length;
    if (own > score) {
      best = node;
      score = own;
    }
  }
  return best ?? commonOfOutputs(copper);
});

function commonOfOutputs(copper: Copper): CopperNode | undefined {
  for (const { pin } of outputs(copper)) {
    const back = pin.spec?.returnPin;
    const node = back === undefined ? undefined : copper.nodeOf(pin.part, back);
    if (node && !isDriven(node)) return node;
  }
  return copper.nodes.find((node) => node.pins.some((pin) => pin.duty === 'common') && !isDriven(node));
}

/** A common that rests at a voltage is no zero for voltages that are stated against a ground not found yet. */
const isDriven = (node: CopperNode): boolean =>
  node.pins.some((pin) => pin.spec?.bias !== undefined && pin.spec.bias !== 0);

/** A point a node goes by where no pin of it is meant: its net, else the first met. */
export const pointOn = (node: CopperNode): string => node.nets[0]?.name ?? node.points[0]!;

import type { Copper, CopperNode } from './copper';
import { perCopper } from './memo';
import { channelOf, outputs, pathsFrom } from './paths';

/** Which side of the programme a node is meant to carry: by its net, else its contact, else the output that reaches it. */
const byPaths = perCopper((copper) => {
  const sides = new Map<CopperNode, 'left' | 'right' | 'both'>();
  for (const { pin, node } of outputs(copper)) {
    const channel = pin.spec?.channel === 'mono' ? undefined : (pin.spec?.channel ?? channelOf(pin));
    if (channel === undefined) continue;
    const nodes = new Set([node, ...pathsFrom(copper, pin, node).flatMap((path) => path.steps.map((step) => step.to))]);
    for (const reached of nodes) {
      const before = sides.get(reached);
      sides.set(reached, before === undefined || before === channel ? channel : 'both');
    }
  }
  return sides;
});

/** The side a node is meant to carry; undefined where nothing says, or both reach it. */
export function sideOf(copper: Copper, node: CopperNode): 'left' | 'right' | undefined {
  for (const net of node.nets) if (net.channel) return net.channel === 'mono' ? undefined : net.channel;
  for (const pin of node.pins) if (pin.part.fitted && (pin.duty === 'left' || pin.duty === 'right')) return pin.duty;
  const reached = byPaths(copper).get(node);
  return reached === 'both' ? undefined : reached;
}

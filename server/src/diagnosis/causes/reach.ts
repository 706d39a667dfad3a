import { islandsOf } from '../../circuit/islands';
import { type Element, nodesOf } from '../../circuit/netlist';
import type { Context } from './context';
import type { Effect } from './types';

/** Where in a network something is listened to: on which of the islands that are nothing to one another. */
export interface Heard {
  readonly context: Context;
  readonly islandOf: ReadonlyMap<string, number>;
  readonly elements: ReadonlyMap<string, Element>;
  readonly islands: ReadonlySet<number>;
}

/** What is heard at some nodes of a context; `of`: what another place of the same context knows already. */
export function heardAt(context: Context, nodes: readonly string[], of?: Heard): Heard {
  const netlist = context.ports.solved.netlist;
  const islandOf = of?.islandOf ?? islandsOf(netlist);
  const elements = of?.elements ?? new Map(netlist.elements.map((element) => [element.name, element]));
  return { context, islandOf, elements, islands: new Set(nodes.flatMap((node) => islandOf.get(node) ?? [])) };
}

/** Keys of an effect that say what parts, copper and probes do; all others are of the sources, which everything hears. */
const local = new Set(['changes', 'bridges', 'probing']);

/** Whether an effect leaves the sources as they are: then there are places where it moves nothing. */
export function leavesSources(effect: Effect): boolean {
  for (const [key, value] of Object.entries(effect))
    if (!local.has(key) && value !== undefined && !(Array.isArray(value) && value.length === 0)) return false;
  return true;
}

/** Whether a change of parts or copper can move what is heard: on an island where nobody listens it moves nothing. */
export function moves({ changes, bridges }: Effect, { context, islandOf, elements, islands }: Heard): boolean {
  const on = (node: string | undefined) => {
    const island = node === undefined ? undefined : islandOf.get(node);
    return island !== undefined && islands.has(island);
  };
  for (const { element: name, becomes } of changes ?? []) {
    const element = elements.get(name);
    // At DC a capacitor is open whatever its value.
    if (!element || (element.kind === 'capacitor' && context.frequency === 0 && becomes !== 'short')) continue;
    if (nodesOf(element).some(on)) return true;
  }
  for (const { between } of bridges ?? []) if (between.some((point) => on(context.node(point)))) return true;
  return false;
}

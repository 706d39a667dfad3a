import type { System } from './assemble';
import { type Linear, type Netlist, nodesOf } from './netlist';

/**
 * One node of every part of the network from which no current can come back to the reference. The current law of such a
 * part's last node says only what the others have said, so its row is dropped: exactly, where rounding would leave a
 * trace that looks like a conductance.
 */
export function redundantRows(system: System): Set<number> {
  const parent = Int32Array.from({ length: system.nodes.size }, (_, k) => k);
  // Place 0 is the reference, node k sits at k + 1.
  const root = (start: number): number => {
    let at = start + 1;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  for (const [name, element] of system.elements) {
    const ends = conducts(name, element, system);
    if (!ends) continue;
    const a = root(ends[0]);
    const b = root(ends[1]);
    if (a !== b) parent[Math.max(a, b)] = Math.min(a, b);
  }
  const rows = new Set<number>();
  for (let k = 1; k < parent.length; k++) if (parent[k] === k) rows.add(k - 1);
  return rows;
}

/** The two nodes between which a current may pass, or null. */
function conducts(name: string, element: Linear, { nodes, branches, admittances }: System): [number, number] | null {
  if (element.kind === 'op-amp') return [nodes.get(element.out)!, -1];
  if (element.kind === 'vccs' || branches.has(name) || admittances.has(name))
    return [nodes.get(element.a)!, nodes.get(element.b)!];
  return null;
}

/**
 * Nodes that hang together by elements: an island by number for each. The reference is on none, nor is a node that an ideal source
 * holds against it: what happens on one island is nothing to another, whose every current and voltage stays as it was.
 */
export function islandsOf({ reference, elements }: Netlist): Map<string, number> {
  const held = new Set([reference]);
  for (const element of elements)
    if (element.kind === 'voltage' && !element.ohms)
      if (element.b === reference) held.add(element.a);
      else if (element.a === reference) held.add(element.b);
  const parent = new Map<string, string>();
  const root = (node: string): string => {
    let at = node;
    for (let up = parent.get(at)!; up !== at; up = parent.get(at)!) {
      parent.set(at, parent.get(up)!);
      at = up;
    }
    return at;
  };
  for (const element of elements) {
    let first: string | undefined;
    for (const node of nodesOf(element)) {
      if (held.has(node)) continue;
      if (!parent.has(node)) parent.set(node, node);
      if (first === undefined) first = root(node);
      else parent.set(root(node), first);
    }
  }
  const numbers = new Map<string, number>();
  return new Map(
    [...parent.keys()].map((node) => {
      const at = root(node);
      if (!numbers.has(at)) numbers.set(at, numbers.size);
      return [node, numbers.get(at)!];
    }),
  );
}

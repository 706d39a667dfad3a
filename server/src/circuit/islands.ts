import type { System } from './assemble';
import type { Linear } from './netlist';

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

import { type Complex, divide, magnitude } from './complex';
import type { Solved } from './factor';
import { hasNodes, type Path, transfer } from './transfer';

/** Two contacts between which something is plugged in. */
export interface Port {
  readonly at: string;
  readonly ref: string;
}

/**
 * What the driven side puts on the quiet one, as a complex fraction of what it puts on its own port: the quiet side's
 * sources are off and its load is in place. A return in common gives a negative real part, leakage between the sides a
 * positive one, a capacitance one that rises and is turned by 90°. Null where either voltage is not determined or the
 * driven port has none.
 */
export function crosstalk(solved: Solved, driven: Path & Port, quiet: Port): Complex | null {
  const own = transfer(solved, driven);
  const other = transfer(solved, { source: driven.source, ...quiet });
  return own && other && magnitude(own) > 0 ? divide(other, own) : null;
}

/** An element of a way home and the fraction of the returning current that flows through it. */
export interface Branch {
  readonly name: string;
  readonly share: Complex;
}

/**
 * The way most of the current takes from a load's return to its source's: the chain of elements whose least share is the
 * largest. Empty where both are one node; null where nothing joins them. `without` names the load and the source.
 */
export function returnPath(solved: Solved, from: string, to: string, without: readonly string[] = []): Branch[] | null {
  if (!hasNodes(solved, from, to)) return null;
  if (from === to) return [];
  const left = solved.with(without.map((name) => ({ open: name })));
  const solution = left.inject(to, from);
  if (solution.contradictions.length > 0) return null;
  const branches = left.netlist.elements.flatMap((element) => {
    const share = element.kind === 'op-amp' ? null : solution.current(element.name);
    return element.kind !== 'op-amp' && share && magnitude(share) > 1e-9 ? [{ ...element, share }] : [];
  });
  return widest(branches, from, to);
}

interface Edge {
  readonly name: string;
  readonly a: string;
  readonly b: string;
  readonly share: Complex;
}

/** Dijkstra's search with the narrowest branch of a path as its width; equal widths go by the order of the network. */
function widest(edges: readonly Edge[], from: string, to: string): Branch[] | null {
  const width = new Map<string, number>([[from, Number.POSITIVE_INFINITY]]);
  const came = new Map<string, { edge: Edge; before: string }>();
  const done = new Set<string>();
  for (;;) {
    let node: string | null = null;
    for (const [candidate, wide] of width)
      if (!done.has(candidate) && (node === null || wide > width.get(node)!)) node = candidate;
    if (node === null) return null;
    if (node === to) break;
    done.add(node);
    for (const edge of edges) {
      const next = edge.a === node ? edge.b : edge.b === node ? edge.a : null;
      if (next === null || done.has(next)) continue;
      const wide = Math.min(width.get(node)!, magnitude(edge.share));
      if (wide > (width.get(next) ?? 0)) {
        width.set(next, wide);
        came.set(next, { edge, before: node });
      }
    }
  }
  const path: Branch[] = [];
  for (let node = to; node !== from; ) {
    const { edge, before } = came.get(node)!;
    path.unshift({ name: edge.name, share: edge.share });
    node = before;
  }
  return path;
}

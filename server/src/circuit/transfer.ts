import { isSource } from './assemble';
import type { Complex } from './complex';
import type { Solved } from './factor';
import { nodesOf } from './netlist';

/** From a source to where its signal is looked at; `ref` is what the voltage is against, the network's reference unless said. */
export interface Path {
  readonly source: string;
  readonly at: string;
  readonly ref?: string;
}

/**
 * Volts at a place per volt (or ampere) of one source, every other source off, loads as they stand. Null where the place
 * floats, or the network has no such source or node.
 */
export function transfer(solved: Solved, { source, at, ref }: Path): Complex | null {
  const { elements, reference } = solved.netlist;
  if (!elements.some((element) => element.name === source && isSource(element))) return null;
  return solved.solve({ [source]: 1 }).between(at, ref ?? reference);
}

/**
 * Ω seen into two nodes of the network, every source off: what an output looks like from outside. `without` names elements
 * to be taken away first, as a rule the load plugged in there. Null where nothing joins the nodes or one does not exist.
 */
export function impedanceBetween(
  solved: Solved,
  at: string,
  ref: string,
  without: readonly string[] = [],
): Complex | null {
  if (!hasNodes(solved, at, ref)) return null;
  const left = without.length > 0 ? solved.with(without.map((name) => ({ open: name }))) : solved;
  const solution = left.inject(ref, at);
  return solution.contradictions.length > 0 ? null : solution.between(at, ref);
}

/** True where the network has all of these nodes. */
export function hasNodes(solved: Solved, ...names: string[]): boolean {
  const nodes = new Set([solved.netlist.reference, ...solved.netlist.elements.flatMap(nodesOf)]);
  return names.every((name) => nodes.has(name));
}

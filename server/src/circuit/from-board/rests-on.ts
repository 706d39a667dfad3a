import type { Join } from '../../board/copper';
import type { Basis } from '../../quantity/figure';
import { type Complex, magnitude, real, subtract } from '../complex';
import type { Solved } from '../factor';
import { islandsOf } from '../islands';
import { type Netlist, nodesOf } from '../netlist';
import { type BoardNetwork, joinBasis } from './build';

/** Anything read off a solved network; null where it is not determined. */
export type Read = (solved: Solved) => Complex | number | null;

/** A figure that moves by less than this fraction when an element is taken out does not rest on it (chosen; no source). */
const noticeable = 1e-3;

/**
 * The elements a figure rests on: those without which it would be noticeably another, or none. Each is opened in turn, which costs
 * little while that is an update of the factorisation; but an island of the network that may be gone as a whole is passed over.
 */
export function restsOnElements(solved: Solved, read: Read): string[] {
  const value = (of: Solved) => {
    const found = read(of);
    return typeof found === 'number' ? real(found) : found;
  };
  const base = value(solved);
  const matters = (names: readonly string[]) => moved(base, value(solved.with(names.map((name) => ({ open: name })))));
  const idle = new Set(byIsland(solved.netlist).flatMap((names) => (names.length > 1 && !matters(names) ? names : [])));
  return solved.netlist.elements.flatMap(({ name }) => (!idle.has(name) && matters([name]) ? [name] : []));
}

/** Names of the elements of each island; those on none are left out. */
function byIsland(netlist: Netlist): string[][] {
  const islandOf = islandsOf(netlist);
  const found: string[][] = [];
  for (const element of netlist.elements) {
    const island = nodesOf(element)
      .map((node) => islandOf.get(node))
      .find((at) => at !== undefined);
    if (island === undefined) continue;
    found[island] ??= [];
    found[island].push(element.name);
  }
  return found.filter((names) => names !== undefined);
}

function moved(before: Complex | null, after: Complex | null): boolean {
  if (before === null || after === null) return before !== after;
  return magnitude(subtract(before, after)) > noticeable * Math.max(magnitude(before), magnitude(after));
}

/** What elements rest on: what is said of their values, and the joins that tie their ends, and the `points` asked about, together. */
export function basisOf(board: BoardNetwork, elements: readonly string[], points: readonly string[]): Basis[] {
  const facts = new Map<string, Basis>();
  for (const join of joinsTying(board, [...points, ...elements.flatMap((name) => board.points.get(name) ?? [])]))
    for (const fact of joinBasis([join])) facts.set(fact.what, fact);
  for (const name of elements) for (const fact of board.basis.get(name) ?? []) facts.set(fact.what, fact);
  return [...facts.values()];
}

/** The joins by which those of the points that lie on one node hang together; others on that node are left out. */
function joinsTying({ copper }: BoardNetwork, points: readonly string[]): Set<Join> {
  const first = new Map<number, string>();
  const joins = new Set<Join>();
  for (const point of points) {
    const node = copper.node(point);
    if (!node) continue;
    const other = first.get(node.id);
    if (other === undefined) first.set(node.id, point);
    else for (const join of copper.proof(other, point)?.joins ?? []) joins.add(join);
  }
  return joins;
}

import type { Join } from '../../board/copper';
import type { Basis } from '../../quantity/figure';
import { type Complex, magnitude, real, subtract } from '../complex';
import type { Solved } from '../factor';
import { type BoardNetwork, joinBasis } from './build';

/** Anything read off a solved network; null where it is not determined. */
export type Read = (solved: Solved) => Complex | number | null;

/** A figure that moves by less than this fraction when an element is taken out does not rest on it (chosen; no source). */
const noticeable = 1e-3;

/**
 * The elements a figure rests on: those without which it would be noticeably another, or none. Each is opened in turn, which costs
 * little while that is an update of the factorisation.
 */
export function restsOnElements(solved: Solved, read: Read): string[] {
  const value = (of: Solved) => {
    const found = read(of);
    return typeof found === 'number' ? real(found) : found;
  };
  const base = value(solved);
  return solved.netlist.elements.flatMap(({ name }) =>
    moved(base, value(solved.with([{ open: name }]))) ? [name] : [],
  );
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

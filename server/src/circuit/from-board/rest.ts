import type { CopperNode } from '../../board/copper';
import type { Basis } from '../../quantity/figure';
import { network } from '../ac';
import { needs } from '../needs';
import type { BoardNetwork } from './build';
import { joinBasis } from './build';

/** DC that the network gives, with what it rests on; undefined where it floats, or hangs on a value nobody has said. */
export interface Rest {
  readonly volts: number;
  readonly basis: readonly Basis[];
}

/**
 * V of one node above another at rest. Parts the figure hangs on must have values; the joins that hold the nodes' sources
 * are named as its basis.
 */
export function restBetween(board: BoardNetwork, a: CopperNode, b: CopperNode): Rest | undefined {
  if (a === b) return { volts: 0, basis: [] };
  const value = board.network.dc.solution.between(a.name, b.name);
  if (!value || !board.network.dc.settled) return undefined;
  const missing = needs(board.netlist, (netlist) => network(netlist).dc.solution.between(a.name, b.name)?.re ?? null);
  if (missing.length > 0) return undefined;
  return { volts: value.re, basis: [...nodeBasis(board, a), ...nodeBasis(board, b)] };
}

/** The joins of a node: what a voltage on it rests on. */
export const nodeBasis = (board: BoardNetwork, node: CopperNode): Basis[] =>
  joinBasis(
    board.copper.joins.filter(
      (join) => join.points.length > 1 && join.points.some((point) => node.points.includes(point.ref.name)),
    ),
  );

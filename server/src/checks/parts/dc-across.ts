import type { CopperNode } from '../../board/copper';
import { isCurrent } from '../../board/currency';
import type { BoardNetwork } from '../../circuit/from-board/build';
import { restBetween } from '../../circuit/from-board/rest';
import type { Basis } from '../../quantity/figure';
import type { Snapshot } from '../check';

export interface Dc {
  readonly volts: number;
  readonly evidence: readonly string[];
  readonly basis: readonly Basis[];
}

/** V of one node above another: read between them or on both, else what the network gives; undefined where neither says. */
export function dcAcross(
  snapshot: Snapshot,
  net: BoardNetwork | undefined,
  a: CopperNode,
  b: CopperNode,
): Dc | undefined {
  const { board } = snapshot;
  const copper = board.at();
  for (const reading of board.readings) {
    if (reading.kind !== 'dc' || reading.points.length !== 2 || !Number.isFinite(reading.value)) continue;
    if (!isCurrent(board, reading.points, reading.state)) continue;
    const [first, second] = reading.points.map((point) => copper.node(point.ref.name));
    if (first === a && second === b) return { volts: reading.value, evidence: [reading.label], basis: [] };
    if (first === b && second === a) return { volts: -reading.value, evidence: [reading.label], basis: [] };
  }
  const own = (node: CopperNode) => {
    if (node === net?.reference) return { value: 0, label: undefined };
    const reading = board.readings.find(
      (candidate) =>
        candidate.kind === 'dc' &&
        candidate.points.length === 1 &&
        Number.isFinite(candidate.value) &&
        node.points.includes(candidate.points[0]!.ref.name) &&
        isCurrent(board, candidate.points, candidate.state),
    );
    return reading && { value: reading.value, label: reading.label };
  };
  const [first, second] = [own(a), own(b)];
  if (first && second && (first.label || second.label))
    return {
      volts: first.value - second.value,
      evidence: [first.label, second.label].flatMap((label) => label ?? []),
      basis: [],
    };
  const rest = net && restBetween(net, a, b);
  return rest && { volts: rest.volts, evidence: [], basis: rest.basis };
}

import { type AgainstGround, againstGround } from '../../board/against-ground';
import type { Copper, CopperNode, Join } from '../../board/copper';
import { isReadingCurrent } from '../../board/currency';
import { sameGround } from '../../board/grounds';
import type { Reading } from '../../board/measured';
import type { BoardNetwork } from '../../circuit/from-board/build';
import { restBetween } from '../../circuit/from-board/rest';
import type { Basis } from '../../quantity/figure';
import type { Snapshot } from '../check';

export interface Dc {
  readonly volts: number;
  /** The readings it was taken from; none where the network gives it. */
  readonly evidence: readonly string[];
  /** Joins between the points read and those asked about. */
  readonly joins: readonly Join[];
  readonly basis: readonly Basis[];
}

/** V of one point above another: read between their nodes or on both, else what the network gives; undefined where neither says. */
export function dcAcross(
  snapshot: Snapshot,
  net: BoardNetwork | undefined,
  first: string,
  second: string,
): Dc | undefined {
  const { board } = snapshot;
  const copper = board.at();
  const [a, b] = [copper.node(first), copper.node(second)];
  if (!a || !b) return undefined;
  const readings = board.readings.filter(
    (reading) => reading.kind === 'dc' && Number.isFinite(reading.value) && isReadingCurrent(board, reading),
  );
  for (const reading of readings) {
    if (reading.points.length !== 2) continue;
    const [red, black] = reading.points.map((point) => copper.node(point.ref.name));
    const sign = red === a && black === b ? 1 : red === b && black === a ? -1 : 0;
    if (sign === 0) continue;
    const ends = sign === 1 ? [first, second] : [second, first];
    return {
      volts: sign * reading.value,
      evidence: [reading.label],
      joins: ends.flatMap((end, index) => between(copper, end, reading.points[index]!.ref.name)),
      basis: [],
    };
  }
  const [one, other] = [own(copper, net, readings, a), own(copper, net, readings, b)];
  if (one && other && (one.label || other.label))
    return {
      volts: one.value - other.value,
      evidence: [one, other].flatMap(({ label }) => label ?? []),
      joins: [
        ...(one.point ? between(copper, first, one.point.ref.name) : []),
        ...(other.point ? between(copper, second, other.point.ref.name) : []),
      ],
      basis: [],
    };
  const rest = net && restBetween(net, a, b, [first, second]);
  return (
    rest && {
      volts: rest.volts,
      evidence: [],
      joins: [],
      get basis() {
        return rest.basis;
      },
    }
  );
}

const between = (copper: Copper, a: string, b: string) => copper.proof(a, b)?.joins ?? [];

/** V of a node against ground, where a reading says or it is the ground itself. */
function own(
  copper: Copper,
  net: BoardNetwork | undefined,
  readings: readonly Reading[],
  node: CopperNode,
): (Partial<AgainstGround> & { readonly value: number; readonly label?: string }) | undefined {
  if (net && sameGround(copper, node, net.reference)) return { value: 0 };
  for (const reading of readings) {
    const read = againstGround(reading, copper);
    if (read && node.points.includes(read.point.ref.name)) return { ...read, label: reading.label };
  }
  return undefined;
}

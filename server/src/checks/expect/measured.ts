import { againstGround } from '../../board/against-ground';
import type { WrittenPoint } from '../../board/copper';
import { isCurrent } from '../../board/currency';
import type { Reading, ReadingKind } from '../../board/measured';
import { type Probed, type Recorded, recorded, type Stand, standOf } from '../recordings';
import type { Asked } from './outcome';

/** Whether something measured in `then` speaks about the state asked for: taken in it, or nothing there has changed since. */
function speaks({ snapshot: { board }, state }: Asked, points: readonly WrittenPoint[], then: string): boolean {
  if (then === state) return true;
  return state === board.lastState && isCurrent(board, points, then);
}

/** Readings of a kind at one point or between two (in this order or turned), in any order of quality they were written. */
export function readingsAt(
  asked: Asked,
  points: readonly WrittenPoint[],
  ...kinds: ReadingKind[]
): { reading: Reading; sign: 1 | -1 }[] {
  const copper = asked.snapshot.board.at(asked.state);
  const nodes = points.map((point) => copper.node(point.ref.name));
  return asked.snapshot.board.readings.flatMap((reading): { reading: Reading; sign: 1 | -1 }[] => {
    if (!kinds.includes(reading.kind) || !speaks(asked, reading.points, reading.state)) return [];
    if (points.length === 1 && reading.points.length === 2 && (reading.kind === 'dc' || reading.kind === 'ac')) {
      const read = againstGround(reading, copper);
      if (!read || copper.node(read.point.ref.name) !== nodes[0]) return [];
      return [{ reading, sign: read.value === reading.value ? (1 as const) : (-1 as const) }];
    }
    if (reading.points.length !== points.length) return [];
    const own = reading.points.map((point) => copper.node(point.ref.name));
    if (own.some((node) => node === undefined)) return [];
    const exact = reading.points.every((point, index) => point.ref.name === points[index]!.ref.name);
    const turned =
      points.length === 2 &&
      reading.points[0]!.ref.name === points[1]!.ref.name &&
      reading.points[1]!.ref.name === points[0]!.ref.name;
    if (turned) return [{ reading, sign: -1 as const }];
    // Ohms between two points of one piece of copper are about those very points.
    if (exact || (points.length === 1 && own[0] === nodes[0])) return [{ reading, sign: 1 as const }];
    if (points.length === 2 && nodes[0] !== nodes[1] && own[0] === nodes[0] && own[1] === nodes[1])
      return [{ reading, sign: 1 as const }];
    if (points.length === 2 && nodes[0] !== nodes[1] && own[0] === nodes[1] && own[1] === nodes[0])
      return [{ reading, sign: -1 as const }];
    return [];
  });
}

/** Recordings that have a probe on the node of a point. */
export function recordingsAt(asked: Asked, point: WrittenPoint): { shown: Recorded; probed: Probed }[] {
  const copper = asked.snapshot.board.at(asked.state);
  const node = copper.node(point.ref.name);
  return recorded(asked.snapshot).flatMap((shown) => {
    const probed = shown.channels.find(
      ({ channel }) => channel.points.length === 1 && copper.node(channel.points[0]!.ref.name) === node,
    );
    return probed && speaks(asked, probed.channel.points, shown.capture.state) ? [{ shown, probed }] : [];
  });
}

/** Recordings that have probes on both points, and how the second stands to the first. */
export function pairsAt(
  asked: Asked,
  first: WrittenPoint,
  second: WrittenPoint,
): { shown: Recorded; stand: Stand; one: Probed; other: Probed }[] {
  const others = recordingsAt(asked, second);
  return recordingsAt(asked, first).flatMap(({ shown, probed }) => {
    const other = others.find((candidate) => candidate.shown.label === shown.label)?.probed;
    const stand = other && standOf(shown, probed, other);
    return other && stand ? [{ shown, stand, one: probed, other }] : [];
  });
}

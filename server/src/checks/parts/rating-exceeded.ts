import { isReadingCurrent } from '../../board/currency';
import { type Element, elements } from '../../board/elements';
import type { Part } from '../../board/part';
import { type BoardNetwork, boardNetwork } from '../../circuit/from-board/build';
import { atRest } from '../../circuit/from-board/rest';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft, Snapshot } from '../check';
import { dcAcross } from './dc-across';
import { weighed } from './weighed';

export const ratingExceeded: Check = {
  name: 'rating-exceeded',
  reads: 'network',
  page: {
    meaning: 'A part stands more voltage, carries more current or burns more power than it is rated for.',
    causes: 'A part of too low a rating fitted as a spare; a supply that is too high; a short further on.',
    next: 'Measure DC across the part; see whether it is hot, by a thermometer or a camera and not by a finger.',
    source: 'The rating of the part, as written. 100 %: damage is judged, not good practice.',
    blind:
      'DC at rest only: ripple, audio and inrush come on top. Needs a rating and all values the figure hangs on. What a fuse carries is known from a reading alone, for what hangs behind it is not. What ceramics lose under bias is not judged. A forward drop that nobody has stated is taken by kind; where the verdict hangs on it, the finding is a step less severe.',
  },
  run(snapshot) {
    const net = boardNetwork(snapshot.board.at());
    const share = snapshot.limit('rating-exceeded') / 100;
    const copper = snapshot.board.at();
    return [...copper.parts.values()].flatMap((part): Draft[] => {
      const own = elements(copper).filter((element) => element.part === part);
      const overAny = (on: BoardNetwork | undefined) =>
        [overRead(snapshot, part), ...own.flatMap((element) => atRestOver(snapshot, on, element))].find(
          (one) => one && one.is > one.rating * share * (1 + 1e-9),
        );
      const over = overAny(net);
      if (!over || !part.fitted) return [];
      const { verb, unit, is, rating } = over;
      return [
        {
          span: part.declared?.span ?? over.span ?? { start: 0, end: 0 },
          message: `${part.designator} ${verb} ${formatQuantity(is, unit)}${unit === 'V' ? ' DC' : ''}; it is rated ${formatQuantity(rating, unit)}.`,
          at: own.length > 0 ? [...new Set(own.flatMap(pointsOf))] : [part.designator],
          evidence: over.evidence ?? [],
          figures: { [{ V: 'volts', W: 'watts', A: 'amps' }[unit]]: is, rating },
          joins: over.joins ?? [],
          basis: weighed(net, over.basis(), (other) => overAny(other)?.unit === unit),
        },
      ];
    });
  },
};

interface Found extends Pick<Draft, 'evidence' | 'joins'> {
  readonly span?: Draft['span'];
  readonly verb: string;
  readonly unit: 'V' | 'W' | 'A';
  readonly is: number;
  readonly rating: number;
  readonly basis: () => NonNullable<Draft['basis']>;
}

/** What a meter in series says a part carries, beside the current it is rated for: a fuse by its value. */
function overRead({ board }: Snapshot, part: Part): Found | undefined {
  const rating = part.kind === 'fuse' ? part.value?.value : rated(part, 'current');
  const read = board.readings.find(
    (reading) =>
      reading.kind === 'amps' &&
      reading.through === part.designator &&
      Number.isFinite(reading.value) &&
      isReadingCurrent(board, reading),
  );
  if (rating === undefined || !read) return undefined;
  const { span, label, value } = read;
  return { verb: 'carries', unit: 'A', is: Math.abs(value), rating, span, evidence: [label], basis: () => [] };
}

const atRestOver = (snapshot: Snapshot, net: BoardNetwork | undefined, element: Element): Found[] =>
  [overVoltage, overPower, overCurrent].flatMap((of) => of(snapshot, net, element) ?? []);

type Over = (snapshot: Snapshot, net: BoardNetwork | undefined, element: Element) => Found | undefined;

const rated = (part: Part, dimension: string) => part.ratings.find((rating) => rating.dimension === dimension)?.value;

const overVoltage: Over = (snapshot, net, element) => {
  const rating = rated(element.part, 'voltage');
  // The volts of a fuse, switch or cell are what it may break or gives.
  if (rating === undefined || ['fuse', 'switch', 'cell'].includes(element.part.kind!)) return undefined;
  const [a, b] = element.pins.map((pin) => element.part.point(pin));
  const dc = dcAcross(snapshot, net, a!, b!);
  if (!dc) return undefined;
  const { evidence, joins } = dc;
  return { verb: 'stands', unit: 'V', is: Math.abs(dc.volts), rating, evidence, joins, basis: () => dc.basis };
};

const overPower: Over = (_, net, element) => {
  const rating = rated(element.part, 'power');
  const name = element.part.designator;
  if (rating === undefined || !net?.points.has(name) || element.nodes[0] === element.nodes[1]) return undefined;
  const found = atRest(net, (solved) => solved.solve().power(name), pointsOf(element));
  return found && { verb: 'burns', unit: 'W', is: found.value, rating, basis: () => found.basis };
};

const overCurrent: Over = ({ board }, net, element) => {
  const { part } = element;
  const rating = rated(part, 'current');
  const read = board.readings.some((reading) => reading.kind === 'amps' && reading.through === part.designator);
  // What hangs behind a fuse is not known, and a reading says more than the network.
  if (rating === undefined || read || part.kind === 'fuse' || !net?.points.has(part.designator)) return undefined;
  const found = atRest(net, (solved) => solved.solve().current(part.designator), pointsOf(element));
  return found && { verb: 'carries', unit: 'A', is: Math.abs(found.value), rating, basis: () => found.basis };
};

const pointsOf = ({ part, pins }: Element) => pins.map((pin) => part.point(pin));

import { isReadingCurrent } from '../../board/currency';
import { type Element, elements } from '../../board/elements';
import { type BoardNetwork, boardNetwork } from '../../circuit/from-board/build';
import { atRest } from '../../circuit/from-board/rest';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft, Snapshot } from '../check';
import { dcAcross } from './dc-across';

export const ratingExceeded: Check = {
  name: 'rating-exceeded',
  reads: 'network',
  page: {
    meaning: 'A part stands more voltage, carries more current or burns more power than it is rated for.',
    causes: 'A part of too low a rating fitted as a spare; a supply that is too high; a short further on.',
    next: 'Measure DC across the part, and feel (do not touch: look, or use a thermometer) whether it is hot.',
    source: 'The rating of the part, as written. 100 %: damage is judged, not good practice.',
    blind:
      'DC at rest only: ripple, audio and inrush come on top. Needs a rating and all values the figure hangs on. What a fuse or a diode carries is known from a reading alone, for what hangs behind them is not. What ceramics lose under bias is not judged.',
  },
  run(snapshot) {
    const net = boardNetwork(snapshot.board.at());
    const share = snapshot.limit('rating-exceeded') / 100;
    return elements(snapshot.board.at()).flatMap((element): Draft[] => {
      for (const of of [overVoltage, overPower, overCurrent]) {
        const found = of(snapshot, net, element);
        if (!found || found.is <= found.rating * share * (1 + 1e-9)) continue;
        const { part } = element;
        const { verb, unit, is, rating } = found;
        return [
          {
            span: part.declared?.span ?? { start: 0, end: 0 },
            message: `${part.designator} ${verb} ${formatQuantity(is, unit)}${unit === 'V' ? ' DC' : ''}; it is rated ${formatQuantity(rating, unit)}.`,
            at: [part.designator],
            evidence: found.evidence ?? [],
            figures: { [{ V: 'volts', W: 'watts', A: 'amps' }[unit]]: is, rating },
            joins: found.joins ?? [],
            basis: found.basis(),
          },
        ];
      }
      return [];
    });
  },
};

interface Found extends Pick<Draft, 'evidence' | 'joins'> {
  readonly verb: string;
  readonly unit: 'V' | 'W' | 'A';
  readonly is: number;
  readonly rating: number;
  readonly basis: () => NonNullable<Draft['basis']>;
}

type Over = (snapshot: Snapshot, net: BoardNetwork | undefined, element: Element) => Found | undefined;

const rated = ({ part }: Element, dimension: string) =>
  part.ratings.find((rating) => rating.dimension === dimension)?.value;

const overVoltage: Over = (snapshot, net, element) => {
  const rating = rated(element, 'voltage');
  // The volts of a fuse, switch or cell are what it may break or gives.
  if (rating === undefined || ['fuse', 'switch', 'cell'].includes(element.part.kind!)) return undefined;
  const [a, b] = element.pins.map((pin) => element.part.point(pin));
  const dc = dcAcross(snapshot, net, a!, b!);
  if (!dc) return undefined;
  const { evidence, joins } = dc;
  return { verb: 'stands', unit: 'V', is: Math.abs(dc.volts), rating, evidence, joins, basis: () => dc.basis };
};

const overPower: Over = (_, net, element) => {
  const rating = rated(element, 'power');
  const name = element.part.designator;
  if (rating === undefined || !net?.points.has(name) || element.nodes[0] === element.nodes[1]) return undefined;
  const found = atRest(net, (solved) => solved.solve().power(name), pointsOf(element));
  return found && { verb: 'burns', unit: 'W', is: found.value, rating, basis: () => found.basis };
};

const overCurrent: Over = ({ board }, net, element) => {
  const { part } = element;
  const rating = part.kind === 'fuse' ? part.value?.value : rated(element, 'current');
  if (rating === undefined) return undefined;
  const read = board.readings.find(
    (reading) =>
      reading.kind === 'amps' &&
      reading.through === part.designator &&
      Number.isFinite(reading.value) &&
      isReadingCurrent(board, reading),
  );
  if (read)
    return { verb: 'carries', unit: 'A', is: Math.abs(read.value), rating, evidence: [read.label], basis: () => [] };
  if (part.kind === 'fuse' || !net?.points.has(part.designator)) return undefined;
  const found = atRest(net, (solved) => solved.solve().current(part.designator), pointsOf(element));
  return found && { verb: 'carries', unit: 'A', is: Math.abs(found.value), rating, basis: () => found.basis };
};

const pointsOf = ({ part, pins }: Element) => pins.map((pin) => part.point(pin));

import { againstGround } from '../../board/against-ground';
import type { Copper } from '../../board/copper';
import { isReadingCurrent } from '../../board/currency';
import { across, elements, elementsAt } from '../../board/elements';
import { findFeed } from '../../board/feeds';
import { isNegative, isSupply, supplyPins } from '../../board/roles';
import { type BoardNetwork, boardNetwork } from '../../circuit/from-board/build';
import { atRest } from '../../circuit/from-board/rest';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft, Snapshot } from '../check';
import { dcAcross } from './dc-across';

/** Volts of reverse across an LED, or amperes through a diode that lies across a supply, that leave no doubt. Common practice, no source. */
const reverse = 0.5;
const shortAmps = 1;

export const diodeReversed: Check = {
  name: 'diode-reversed',
  reads: 'network',
  page: {
    meaning:
      'A diode stands the wrong way round for the DC around it: an LED that cannot light, a series diode that feeds nothing, a zener or surge clamp that conducts all the time.',
    causes: 'Fitted the wrong way round; anode and cathode exchanged while writing; a marking read from the wrong end.',
    next: 'Look at the stripe; measure the forward drop in the diode range, board unpowered, both ways round.',
    source: 'Common practice, no source.',
    blind:
      'Plain diodes are judged only in series with a supply, or across one. Needs the DC on both sides, for a series diode also `complete`, or a reading that shows what it should feed dead. Ends named 1 and 2 have no polarity.',
  },
  run(snapshot) {
    const copper = snapshot.board.at();
    const net = boardNetwork(copper);
    const drafts = [
      ...byVoltage(snapshot, copper, net),
      ...inSeries(snapshot, copper),
      ...bridges(snapshot, copper, net),
    ];
    const told = new Set<string>();
    return drafts.filter((draft) => !told.has(draft.at![0]!) && told.add(draft.at![0]!));
  },
};

function byVoltage(snapshot: Snapshot, copper: Copper, net: BoardNetwork | undefined): Draft[] {
  return elements(copper).flatMap(({ part, pins, nodes }): Draft[] => {
    if (pins[0] !== 'A') return [];
    const [anode, cathode] = nodes;
    const state = net?.network.dc.diodes.get(part.designator);
    const amps = net?.network.dc.solution.current(part.designator)?.re ?? 0;
    const clamp = part.kind === 'zener' || part.kind === 'tvs';
    const at = [part.point('A'), part.point('K')] as const;
    const dc = dcAcross(snapshot, net, ...at);
    const span = part.declared?.span ?? { start: 0, end: 0 };
    if (part.kind === 'led' && dc && dc.volts < -reverse)
      return [
        {
          span,
          message: `${part.designator} has its anode on ${anode.name} and its cathode on ${cathode.name}, ${formatQuantity(-dc.volts, 'V')} higher: it cannot light.`,
          at,
          evidence: dc.evidence,
          figures: { dc: dc.volts },
          joins: dc.joins,
          basis: dc.basis,
        },
      ];
    const forward = state === 'forward' || (dc !== undefined && dc.evidence.length > 0 && dc.volts > reverse);
    if (
      !net ||
      !forward ||
      !(clamp ? amps > 1e-4 || (dc?.evidence.length ?? 0) > 0 : part.kind === 'diode' && amps > shortAmps)
    )
      return [];
    return [
      {
        span,
        message: clamp
          ? `${part.designator} conducts forwards from ${anode.name} to ${cathode.name}: a ${part.kind === 'tvs' ? 'surge clamp' : 'zener'} belongs with its cathode on the higher voltage.`
          : `${part.designator} conducts straight from ${anode.name} to ${cathode.name}, with nothing to hold the current: it is the wrong way round.`,
        at,
        evidence: dc?.evidence ?? [],
        joins: dc?.joins ?? [],
        basis: dc && dc.evidence.length > 0 ? [] : conducting(net, part.designator, at),
      },
    ];
  });
}

/** What it rests on that a part conducts: its own drop, which only says how much, left out. */
const conducting = (net: BoardNetwork, name: string, points: readonly string[]) => {
  const own = net.basis.get(name)?.map((fact) => fact.what) ?? [];
  const found = atRest(net, (solved) => solved.solve().current(name), points)?.basis ?? [];
  return found.filter((fact) => !own.includes(fact.what));
};

/** A supply that nothing feeds, or that reads dead, with a diode whose cathode is on the fed side. */
function inSeries({ board }: Snapshot, copper: Copper): Draft[] {
  return copper.nodes.flatMap((node): Draft[] => {
    const pins = supplyPins(node);
    if (pins.length === 0 && !isSupply(node)) return [];
    const negative = isNegative(node);
    const dead = board.readings.find((reading) => {
      const read = reading.kind === 'dc' ? againstGround(reading, copper) : undefined;
      if (!read || Math.abs(read.value) >= reverse) return false;
      return node.points.includes(read.point.ref.name) && isReadingCurrent(board, reading);
    });
    const search = findFeed(copper, node, negative, dead !== undefined);
    if (search.by !== undefined || (!search.complete && !dead)) return [];
    for (const reached of search.nodes)
      for (const element of elementsAt(copper, reached)) {
        if (element.part.kind !== 'diode') continue;
        const { to, pins: ends } = across(element, reached);
        if (ends[0] !== (negative ? 'K' : 'A') || search.nodes.includes(to)) continue;
        const beyond = findFeed(copper, to, negative);
        if (beyond.by === undefined) continue;
        return [
          {
            span: element.part.declared?.span ?? { start: 0, end: 0 },
            message: `${element.part.designator} blocks the supply of ${pins.length > 0 ? pins.map((pin) => pin.name).join(', ') : node.name}: its ${negative ? 'anode' : 'cathode'} is on ${to.name}, which is fed by ${beyond.by}, and ${dead ? `${node.name} reads ${formatQuantity(dead.value, 'V')}` : `nothing else feeds ${node.name}`}.`,
            at: [element.part.point('A'), element.part.point('K'), ...pins.map((pin) => pin.name)],
            evidence: dead ? [dead.label] : search.nodes.map((found) => `all of ${found.name} is listed`),
          },
        ];
      }
    return [];
  });
}

/** A rectifier bridge whose plus lies below its minus. */
function bridges(snapshot: Snapshot, copper: Copper, net: BoardNetwork | undefined): Draft[] {
  return [...copper.parts.values()].flatMap((part): Draft[] => {
    if (part.kind !== 'rectifier-bridge' || !part.fitted) return [];
    const plus = copper.nodeOf(part, '+');
    const minus = copper.nodeOf(part, '-');
    const stated = (node: typeof plus) => node?.nets.find((candidate) => candidate.volts)?.volts;
    const dc = plus && minus && dcAcross(snapshot, net, part.point('+'), part.point('-'));
    const nominal = plus && minus && stated(plus) !== undefined ? stated(plus)! : undefined;
    const below = (dc?.volts ?? 0) < -reverse || (nominal !== undefined && nominal.max < -reverse);
    if (!plus || !minus || !below) return [];
    return [
      {
        span: part.declared?.span ?? { start: 0, end: 0 },
        message: `${part.designator} has its plus on ${plus.name}, below its minus on ${minus.name}: it is the wrong way round.`,
        at: [part.point('+'), part.point('-')],
        evidence: dc?.evidence ?? [],
        joins: dc?.joins ?? [],
        basis: dc?.basis ?? [],
      },
    ];
  });
}

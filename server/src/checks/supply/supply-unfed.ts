import { againstGround } from '../../board/against-ground';
import { isCurrent } from '../../board/currency';
import { elementsAt } from '../../board/elements';
import { findFeed } from '../../board/feeds';
import { isNegative, pinText, supplyPins } from '../../board/roles';
import type { Check, Draft } from '../check';

export const supplyUnfed: Check = {
  name: 'supply-unfed',
  reads: 'copper',
  page: {
    meaning: 'Nothing listed feeds this supply pin: no cell, regulator, power contact, net with volts, or DC reading.',
    causes: 'A join not yet found; a fuse, ferrite or switch that is not listed; a lifted pad.',
    next: 'Measure DC at the pin with the board running; buzz it to the regulators and the power contact.',
    source: 'Common practice, no source.',
    blind:
      'Needs `complete` on the net or board. A supply is taken as fed through F, FB, L, R, SW, K, Q, connectors, and a diode the right way round; how much current they pass is not asked. A part whose pins are not described may be the regulator.',
  },
  run({ board }, told) {
    const copper = board.at();
    const shorted = new Set(
      told.filter((finding) => finding.check === 'supply-short').flatMap((finding) => finding.at),
    );
    return copper.nodes.flatMap((node): Draft[] => {
      const pins = supplyPins(node);
      if (pins.length === 0) return [];
      if (
        told.some((finding) => silencing.has(finding.check) && finding.at.some((point) => node.points.includes(point)))
      )
        return [];
      const search = findFeed(copper, node, isNegative(node));
      if (search.by !== undefined || !search.complete) return [];
      // A feed shorted to ground is told as that, not as a feed that is missing.
      const beside = search.nodes.flatMap((found) => elementsAt(copper, found).flatMap((element) => element.nodes));
      if (beside.some((found) => found.points.some((point) => shorted.has(point)))) return [];
      const read = board.readings.some((reading) => {
        const point = reading.kind === 'dc' ? againstGround(reading, copper)?.point : undefined;
        if (!point || !isCurrent(board, reading.points, reading.state)) return false;
        return search.nodes.includes(copper.node(point.ref.name)!);
      });
      if (read) return [];
      const join = copper.joins.find((candidate) => candidate.points.some((point) => point.ref.name === pins[0]!.name));
      return [
        {
          span: join?.span ?? node.nets[0]?.keySpan ?? pins[0]!.part.declared?.keySpan ?? { start: 0, end: 0 },
          message: `Nothing feeds ${pins.map(pinText).join(', ')}: everything on ${search.nodes.map((found) => found.name).join(', ')} is listed, and no cell, regulator, power contact or volts is among it.`,
          at: pins.map((pin) => pin.name),
          evidence: search.nodes.map((found) => `all of ${found.name} is listed`),
        },
      ];
    });
  },
};

const silencing = new Set(['supply-short', 'ground-miswired', 'supply-out-of-range', 'diode-reversed']);

import { isCurrent } from '../../board/currency';
import { sameGround } from '../../board/grounds';
import { isGround } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';

/** Volts between two points of one ground: common practice, no source. The ohms are the check's limit. */
const lift = 0.05;

export const groundLifted: Check = {
  name: 'ground-lifted',
  reads: 'copper',
  page: {
    meaning: 'Two points that should be one ground are not: there are ohms or volts between them.',
    causes:
      'A cracked joint, a burnt trace, a worn contact; a ground wire too thin for what flows; a strap of too many ohms.',
    next: 'Zero the meter’s leads and measure in steps from one point to the other; look for the step.',
    source: '2 Ω, 50 mV: common practice, no source.',
    blind:
      'A reading below 1 Ω with leads not zeroed is an upper bound and never speaks against a ground. A resistor between two grounds counts with its own value.',
  },
  run(snapshot) {
    const { board } = snapshot;
    const copper = board.at();
    const limit = snapshot.limit('ground-lifted');
    return board.readings.flatMap((reading): Draft[] => {
      if (!isCurrent(board, reading.points, reading.state)) return [];
      // Over range says something of ohms alone: an open.
      if (!Number.isFinite(reading.value) && reading.kind !== 'ohms') return [];
      const nodes = reading.points.map((point) => copper.node(point.ref.name));
      const [a, b] = nodes.length === 2 ? nodes : [nodes[0], undefined];
      if (!a || !isGround(a)) return [];
      const volts = reading.kind === 'dc' || reading.kind === 'ac';
      if (reading.points.length === 1 ? !volts : !b || !isGround(b) || !sameGround(copper, a, b)) return [];
      const high = volts ? Math.abs(reading.value) > lift : reading.kind === 'ohms' && reading.value > limit;
      if (!high) return [];
      const shown =
        reading.value === Number.POSITIVE_INFINITY
          ? 'an open'
          : formatQuantity(Math.abs(reading.value), volts ? 'V' : 'Ω');
      const where = reading.points.map((point) => point.text).join(' and ');
      return [
        {
          span: reading.span,
          message:
            reading.points.length === 2
              ? `${where} are one ground by copper and straps, yet ${shown} ${reading.value === Number.POSITIVE_INFINITY ? 'was read' : 'lies'} between them.`
              : `${where} is a ground, yet reads ${shown}.`,
          at: reading.points.map((point) => point.ref.name),
          evidence: [reading.label],
          figures: volts ? { volts: reading.value } : { ohms: reading.value },
          joins:
            b && a === b ? (copper.proof(reading.points[0]!.ref.name, reading.points[1]!.ref.name)?.joins ?? []) : [],
        },
      ];
    });
  },
};

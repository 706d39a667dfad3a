import { elements } from '../../board/elements';
import { network } from '../../circuit/ac';
import { boardNetwork } from '../../circuit/from-board/build';
import { nodeBasis } from '../../circuit/from-board/rest';
import { needs } from '../../circuit/needs';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';
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
      'DC at rest only: ripple, audio and inrush come on top. Needs a rating and all values the figure hangs on. What ceramics lose under bias is not judged.',
  },
  run(snapshot) {
    const { board } = snapshot;
    const copper = board.at();
    const net = boardNetwork(copper);
    const share = snapshot.limit('rating-exceeded') / 100;
    return elements(copper).flatMap(({ part, nodes }): Draft[] => {
      const span = part.declared?.span ?? { start: 0, end: 0 };
      const [a, b] = nodes;
      const at = [part.designator];
      const volts = part.ratings.find((rating) => rating.dimension === 'voltage')?.value;
      if (volts !== undefined && part.kind === 'capacitor') {
        const dc = dcAcross(snapshot, net, a, b);
        if (dc && Math.abs(dc.volts) > volts * share * (1 + 1e-9))
          return [
            {
              span,
              message: `${part.designator} stands ${formatQuantity(Math.abs(dc.volts), 'V')} DC; it is rated ${formatQuantity(volts, 'V')}.`,
              at,
              evidence: dc.evidence,
              figures: { volts: Math.abs(dc.volts), rating: volts },
              basis: dc.basis,
            },
          ];
      }
      if (!net) return [];
      const name = part.designator;
      const basis = () => [...nodeBasis(net, a), ...nodeBasis(net, b)];
      const settled = net.network.dc.settled;
      const watts = part.ratings.find((rating) => rating.dimension === 'power')?.value;
      if (
        watts !== undefined &&
        settled &&
        needs(net.netlist, (netlist) => network(netlist).dc.solution.power(name)).length === 0
      ) {
        const power = net.network.dc.solution.power(name);
        if (power !== null && power > watts * share * (1 + 1e-9))
          return [
            {
              span,
              message: `${name} burns ${formatQuantity(power, 'W')}; it is rated ${formatQuantity(watts, 'W')}.`,
              at,
              figures: { watts: power, rating: watts },
              basis: basis(),
            },
          ];
      }
      const amps =
        part.kind === 'fuse' ? part.value?.value : part.ratings.find((rating) => rating.dimension === 'current')?.value;
      const read = board.readings.find(
        (reading) => reading.kind === 'amps' && reading.through === name && Number.isFinite(reading.value),
      );
      const carried = read
        ? Math.abs(read.value)
        : part.kind === 'fuse' ||
            !settled ||
            needs(net.netlist, (netlist) => network(netlist).dc.solution.current(name)).length > 0
          ? undefined
          : Math.abs(net.network.dc.solution.current(name)?.re ?? 0);
      if (amps === undefined || carried === undefined || carried <= amps * share * (1 + 1e-9)) return [];
      return [
        {
          span,
          message: `${name} carries ${formatQuantity(carried, 'A')}; it is rated ${formatQuantity(amps, 'A')}.`,
          at,
          evidence: read ? [read.label] : [],
          figures: { amps: carried, rating: amps },
          basis: read ? [] : basis(),
        },
      ];
    });
  },
};

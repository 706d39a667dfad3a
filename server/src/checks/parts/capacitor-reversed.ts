import { elements } from '../../board/elements';
import { type BoardNetwork, boardNetwork } from '../../circuit/from-board/build';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';
import { dcAcross } from './dc-across';
import { weighed } from './weighed';

/** Volts of reverse that an electrolytic is taken to bear: common practice, no source. */
const bearable = 0.3;

export const capacitorReversed: Check = {
  name: 'capacitor-reversed',
  reads: 'network',
  page: {
    meaning: 'A polarised capacitor has its minus on the higher voltage: it leaks, dries out, and may burst.',
    causes:
      'Fitted the wrong way round; plus and minus exchanged while writing; a bias that is not what the data sheet says.',
    next: 'Look at the stripe; measure DC across it, red lead on its plus.',
    source: 'More than 0.3 V of reverse: common practice, no source.',
    blind:
      'Needs the DC on both sides, from copper, nominals or readings; a side that floats is not judged. A capacitor counts as polarised when it says so, or when + or − is used on it.',
  },
  run(snapshot) {
    const copper = snapshot.board.at();
    const net = boardNetwork(copper);
    return elements(copper).flatMap(({ part, pins, nodes }): Draft[] => {
      if (part.kind !== 'capacitor' || !part.polarised) return [];
      const [plus, minus] = pins[0] === '1' ? nodes : ([nodes[1], nodes[0]] as const);
      const across = (on: BoardNetwork | undefined) => dcAcross(snapshot, on, part.point('1'), part.point('2'));
      const dc = across(net);
      if (!dc || dc.volts >= -bearable) return [];
      return [
        {
          span: part.declared?.span ?? { start: 0, end: 0 },
          message: `${part.designator} has its plus on ${plus.name} and its minus on ${minus.name}, ${formatQuantity(-dc.volts, 'V')} higher: it is the wrong way round.`,
          at: [part.point('1'), part.point('2')],
          evidence: dc.evidence,
          figures: { dc: dc.volts },
          joins: dc.joins,
          basis: weighed(net, dc.basis, (other) => (across(other)?.volts ?? 0) < -bearable),
        },
      ];
    });
  },
};

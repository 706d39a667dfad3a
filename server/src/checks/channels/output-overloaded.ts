import { outputs } from '../../board/paths';
import { pinText } from '../../board/roles';
import { network } from '../../circuit/ac';
import { magnitude } from '../../circuit/complex';
import { boardNetwork } from '../../circuit/from-board/build';
import { groundOf } from '../../circuit/from-board/chips';
import { toneHertz } from '../../circuit/from-board/figures';
import { nodeBasis } from '../../circuit/from-board/rest';
import { needs } from '../../circuit/needs';
import type { Netlist } from '../../circuit/netlist';
import { impedanceBetween } from '../../circuit/transfer';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';

/** How far below its stated least a load may be before it counts: the tolerance of parts. Common practice, no source. */
const slack = 0.95;

export const outputOverloaded: Check = {
  name: 'output-overloaded',
  reads: 'network',
  page: {
    meaning:
      'An output drives less resistance than its data sheet allows: level drops, distortion rises, the part runs hot.',
    causes: 'Headphones on a line output; a divider of too low values; a mono sum made by joining two outputs.',
    next: 'Measure the level with and without what is plugged in.',
    source: '`min-load` of the pin, from the data sheet.',
    blind:
      'Needs `min-load`, and the values of all that hangs on the pin. Judged at 997 Hz; the legs of a bridge against ground only.',
  },
  run({ board }) {
    const copper = board.at();
    const net = boardNetwork(copper);
    if (!net) return [];
    return outputs(copper).flatMap(({ pin, node }): Draft[] => {
      const least = pin.spec?.minLoad;
      if (least === undefined || !net.outputs.some((output) => output.name === pin.name)) return [];
      const ground = groundOf(copper, pin.part, net.reference.name);
      if (node.name === ground) return [];
      const load = (netlist: Netlist): number | null => {
        const seen = impedanceBetween(network(netlist).at(toneHertz), node.name, ground, [pin.name]);
        return seen && magnitude(seen);
      };
      if (needs(net.netlist, load).length > 0) return [];
      const ohms = load(net.netlist);
      if (ohms === null || ohms >= least * slack) return [];
      const parts = net.netlist.elements.filter(
        (element) =>
          element.kind !== 'op-amp' &&
          (element.a === node.name || element.b === node.name) &&
          element.name !== pin.name,
      );
      return [
        {
          span: pin.part.declared?.keySpan ?? { start: 0, end: 0 },
          message: `${pinText(pin)} drives ${formatQuantity(ohms, 'Ω')} at 997 Hz; its data sheet wants ${formatQuantity(least, 'Ω')} or more.`,
          at: [pin.name],
          evidence: parts.map((part) => part.name),
          figures: { load: ohms, least },
          basis: nodeBasis(net, node).filter((fact) => fact.evidence === 'assumed'),
        },
      ];
    });
  },
};

import type { CopperNode } from '../../board/copper';
import { floatingText } from '../../circuit/floating';
import { boardNetwork } from '../../circuit/from-board/build';
import { toneHertz } from '../../circuit/from-board/figures';
import type { Check, Draft } from '../check';

/** Kinds of parts whose pins the network knows in full: what else sits on a node may hold it. */
const modelled = new Set(['resistor', 'capacitor', 'inductor', 'ferrite', 'fuse', 'potentiometer']);

export const nodeFloating: Check = {
  name: 'node-floating',
  reads: 'network',
  page: {
    meaning:
      'A part of the board hangs in the air: nothing listed ties it to ground or to any pin, so nothing on it can be worked out.',
    causes: 'A join that is still missing; a part described that sits elsewhere.',
    next: 'Buzz either end of the parts named to the nearest chip, connector and ground.',
    source: 'The network’s own equations: they leave its voltage open.',
    blind:
      'Needs `complete` on all of it. A chip, a connector, a switch, a transistor or a diode on it may hold it. A coupling capacitor without a bleeder floats at DC alone, which hover tells.',
  },
  run({ board }) {
    const copper = board.at();
    const net = boardNetwork(copper);
    if (!net) return [];
    return net.network.at(toneHertz).floating.flatMap((floating): Draft[] => {
      const nodes = floating.nodes.map((name) => copper.nodes.find((node) => node.name === name));
      if (nodes.length === 0 || nodes.some((node) => !node || !loose(node))) return [];
      const parts = [...new Set(floating.parts.map((name) => name.split(' ')[0]!))];
      const first = copper.parts.get(parts[0] ?? '');
      return [
        {
          span: first?.declared?.keySpan ?? { start: 0, end: 0 },
          message: `${floatingText({ ...floating, parts }, toneHertz)}: nothing listed ties it to ground or to a pin.`,
          at: nodes.flatMap((node) => node?.points ?? []),
        },
      ];
    });
  },
};

const loose = (node: CopperNode): boolean =>
  node.complete &&
  node.nets.every((net) => net.role === undefined) &&
  node.pins.every((pin) => pin.part.kind !== undefined && modelled.has(pin.part.kind));

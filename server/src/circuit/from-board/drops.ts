import { network } from '../ac';
import type { BoardNetwork } from './build';

/**
 * Forward drops where none is stated, in volts, and between what they lie: silicon (a Schottky part at the low end, a surge at the
 * high one), and LEDs from infra-red to white. Common practice, no source.
 */
export const drops = {
  diode: { usual: 0.65, least: 0.2, most: 1.1 },
  led: { usual: 2.0, least: 1.2, most: 3.6 },
  zener: { usual: 0.65, least: 0.5, most: 1.1 },
  tvs: { usual: 0.7, least: 0.5, most: 1.1 },
  'rectifier-bridge': { usual: 0.65, least: 0.2, most: 1.1 },
} as const;

/** The board's network with every forward drop that nobody has stated at an end of its range. */
export function atDrops(board: BoardNetwork, end: 'least' | 'most'): BoardNetwork {
  const elements = board.netlist.elements.map((element) => {
    const kind = board.copper.parts.get(element.name.split(' ')[0]!)?.kind;
    const guessed = board.basis.get(element.name)?.some((fact) => fact.evidence === 'assumed');
    if (element.kind !== 'diode' || !guessed || kind === undefined || !(kind in drops)) return element;
    return { ...element, drop: drops[kind as keyof typeof drops][end] };
  });
  const netlist = { ...board.netlist, elements };
  return { ...board, netlist, network: network(netlist) };
}

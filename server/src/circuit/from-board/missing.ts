import { type FigureOf, needs } from '../needs';
import type { BoardNetwork } from './build';

/** What a figure of the board's network hangs on and nobody has said: parts without a value, wipers. Each once. */
export const missing = ({ netlist, copper }: BoardNetwork, figure: FigureOf): string[] => [
  ...new Set(
    needs(netlist, figure).map((name) => {
      const part = name.split(' ')[0]!;
      return copper.parts.get(part)?.kind === 'potentiometer' ? `the wiper of ${part}` : name;
    }),
  ),
];

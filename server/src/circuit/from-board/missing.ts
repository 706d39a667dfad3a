import { type FigureOf, needs } from '../needs';
import type { BoardNetwork } from './build';
import { hangsOnOpenEnds } from './open-ends';

/** What a figure of the board's network hangs on and nobody has said: parts without a value, wipers. Each once. */
export const missing = ({ netlist, copper }: BoardNetwork, figure: FigureOf): string[] => [
  ...new Set(
    needs(netlist, figure).map((name) => {
      const part = name.split(' ')[0]!;
      return copper.parts.get(part)?.kind === 'potentiometer' ? `the wiper of ${part}` : name;
    }),
  ),
];

/** As `missing`, for a figure at rest: also ends of parts not followed yet, and volts that nobody says; see `movedByOpenEnds`. */
export const missingAtRest = (board: BoardNetwork, figure: FigureOf, floor?: number): string[] => [
  ...missing(board, figure),
  ...hangsOnOpenEnds(board, figure, floor),
];

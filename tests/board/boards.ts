import { Board } from '../../server/src/board/board';
import { buildPinout, type Pinout } from '../../server/src/board/pinout';
import { parseBoard, parsePinout } from '../../server/src/dialect/parse';

/** The model of a pinout text. */
export function pinoutOf(text: string, file = 'test:p'): Pinout {
  const pinout = buildPinout(parsePinout(text).value, file);
  if (!pinout) throw new Error('a pinout without a name');
  return pinout;
}

/** The model of a board text, `board:` put before it, with pinout texts in reach. */
export const boardOf = (text: string, ...pinouts: string[]): Board =>
  new Board(
    'test:a',
    parseBoard(`board: Kiosk\n${text}`).value,
    new Map(pinouts.map((pinout) => pinoutOf(pinout)).map((pinout) => [pinout.name.toLowerCase(), pinout])),
  );

/** The problems of a board as "check message", for tests. */
export const problemsOf = (board: Board): string[] =>
  board.problems.map((problem) => `${problem.check} ${problem.message}`);

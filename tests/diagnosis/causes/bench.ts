import { Board } from '../../../server/src/board/board';
import { buildPinout, type Pinout } from '../../../server/src/board/pinout';
import { diagnose } from '../../../server/src/diagnosis/causes/diagnose';
import type { Diagnosis } from '../../../server/src/diagnosis/causes/types';
import { parseBoard, parsePinout } from '../../../server/src/dialect/parse';
import type { RecordingFigures } from '../../../server/src/signal/figures';
import { measure } from '../../../server/src/signal/measure';
import { memorySource } from '../../../server/src/signal/source';
import { measureRequest } from '../../../server/src/workspace/requests';
import { wav } from '../../signal/make';

/** A board from its text and those of its pinouts. Throws where a text has a problem: tests mean what they write. */
export function boardOf(text: string, ...pinouts: string[]): Board {
  const known = new Map<string, Pinout>();
  for (const pinout of pinouts) {
    const parsed = parsePinout(pinout);
    if (parsed.problems.length > 0) throw new Error(parsed.problems[0]!.message);
    const built = buildPinout(parsed.value, 'test.pinout.yaml')!;
    known.set(built.name.toLowerCase(), built);
  }
  const parsed = parseBoard(text);
  const board = new Board('test.board.yaml', parsed.value, known);
  const problem = [...parsed.problems, ...board.problems][0];
  if (problem) throw new Error(problem.message);
  return board;
}

/** Figures of recordings given as samples, by capture name, measured as the workspace measures them. */
export async function measuredAs(
  board: Board,
  recordings: Readonly<Record<string, readonly Float64Array[]>>,
): Promise<Map<string, RecordingFigures>> {
  const figures = new Map<string, RecordingFigures>();
  for (const capture of board.captures) {
    const channels = recordings[capture.name];
    if (!channels) continue;
    const { channels: asked, ...request } = measureRequest(board, capture);
    const outcome = await measure(memorySource(wav(channels)), { ...request, ...(asked && { channels: asked }) });
    if ('error' in outcome) throw new Error(outcome.error);
    figures.set(capture.name, outcome.figures);
  }
  return figures;
}

/** The leading cause and its group as short texts: "output-mode U1 differential". */
export function leading(diagnosis: Diagnosis): { first: string; group: string[] } {
  const names = diagnosis.causes.filter(({ group }) => group === diagnosis.causes[0]!.group).map(nameOf);
  return { first: names[0]!, group: names };
}

export const nameOf = ({ cause, at, mode, also }: Diagnosis['causes'][number]): string =>
  [
    [cause, ...at, ...(mode === null ? [] : [mode])].join(' '),
    ...also.map((one) => [one.cause, ...one.at, ...(one.mode === null ? [] : [one.mode])].join(' ')),
  ].join(' + ');

export { diagnose };

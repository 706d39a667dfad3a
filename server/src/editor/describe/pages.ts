import { cautionsOf } from '../../board/cautions';
import type { Capture } from '../../board/measured';
import type { Diagnosis } from '../../diagnosis/causes/types';
import type { BoardAnalysis } from '../analysis';
import { paragraphs, prose } from '../markdown';
import { captureHead, pendingText } from './capture';
import { boardCautions } from './cautions';
import { diagnosisLines } from './diagnosis';
import { measureMarkdown } from './measurement';
import type { Traces } from './plot';

/** Pages to be read beside a board. Markdown; the figures and sentences are those of the command line. */

/** Everything measured in one recording. */
export function measurePage(analysis: BoardAnalysis, capture: Capture, traces: Traces): string {
  const state = analysis.snapshot.captures.get(capture.name);
  return paragraphs(
    `# Measured: ${prose(capture.name)}`,
    captureHead(capture, traces),
    state?.is === 'ready'
      ? measureMarkdown(state.figures)
      : state?.is === 'failed'
        ? prose(state.message)
        : state?.is === 'pending'
          ? pendingText(state)
          : 'It has not been measured.',
  );
}

/** What explains the measurements of a board, and what to probe next. */
export function diagnosisPage({ board, parsed }: BoardAnalysis, diagnosis: Diagnosis): string {
  const complaint = parsed.value.value?.complaint?.value;
  return paragraphs(
    `# Diagnosis: ${prose(board.title?.text ?? 'untitled board')}`,
    complaint !== undefined && `> ${prose(complaint)}`,
    boardCautions(board),
    ...diagnosisLines(
      diagnosis,
      cautionsOf(board).map(({ text }) => text),
      true,
    ).map(prose),
  );
}

import type { Capture } from '../../board/measured';
import type { Diagnosis } from '../../diagnosis/causes/types';
import type { Analysis, BoardAnalysis } from '../analysis';
import { diagnostics } from '../diagnostics';
import { bullets, code, fenced, paragraphs, prose } from '../markdown';
import { captureHead } from './capture';
import { boardCautions } from './cautions';
import { diagnosisLines } from './diagnosis';
import { measureText } from './measurement';
import type { Traces } from './plot';

/** Pages to be read beside a board. Markdown; the figures and sentences are those of the command line. */

/** Everything measured in one recording. */
export function measurePage(analysis: BoardAnalysis, capture: Capture, traces: Traces): string {
  const state = analysis.snapshot.captures.get(capture.name);
  return paragraphs(
    `# Measured: ${prose(capture.name)}`,
    captureHead(capture, traces),
    state?.is === 'ready'
      ? fenced(measureText(state.figures))
      : state?.is === 'failed'
        ? prose(state.message)
        : state?.is === 'pending' && state.stopped
          ? 'Its measurement was stopped. The line above it in the board begins it again.'
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
    ...diagnosisLines(diagnosis).map(prose),
  );
}

/** A board among all that were checked: its title, and each finding with a way to its line. `name` is the file's. */
export function checkedSection(analysis: Analysis, name: string): string {
  const title = analysis.kind === 'board' ? analysis.board.title?.text : undefined;
  const to = (line: number) => `<${analysis.uri}#L${line + 1}>`;
  const found = diagnostics(analysis).map(({ span, severity, code: check, message }) => {
    const { line } = analysis.lines.position(span.start);
    return `[line ${line + 1}](${to(line)}) **${severity}** ${code(check)}: ${prose(message)}`;
  });
  return paragraphs(
    `## [${prose(name)}](${to(0)})`,
    title !== undefined && prose(title),
    found.length === 0 ? 'Nothing found.' : bullets(found),
  );
}

import type { Capture } from '../board/measured';
import { degrees } from '../checks/channels/words';
import { formatQuantity } from '../quantity/format';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';

/** A line above the text that does something when it is clicked; without a command it only tells. */
export interface CodeLens {
  readonly span: Span;
  readonly title: string;
  readonly command?: 'measure' | 'diagnose' | 'copper-map';
  /** Plain data for the command: the capture it is about. */
  readonly capture?: string;
}

/** Above the title what the board as a whole offers, above each recording what it came to. */
export function codeLenses(analysis: BoardAnalysis | PinoutAnalysis): CodeLens[] {
  if (analysis.kind === 'pinout') return [];
  const { board, snapshot, findings, settled } = analysis;
  const lenses: CodeLens[] = [];
  if (board.title) {
    const { span } = board.title;
    lenses.push(
      { span, title: countText(findings.length, settled) },
      { span, title: 'Diagnose', command: 'diagnose' },
      { span, title: 'Copper map', command: 'copper-map' },
    );
  }
  for (const capture of board.captures) {
    if (!capture.file) continue;
    const state = snapshot.captures.get(capture.name);
    const span = capture.keySpan;
    const command = { span, command: 'measure' as const, capture: capture.name };
    if (state?.is === 'ready') {
      const { pairs, duration } = state.figures;
      const pair = pairs[0];
      const phase = pair?.phase == null ? '' : `, ${degrees(pair.phase)}`;
      const stand = pair
        ? `: ${pair.channels.map((name) => placeText(capture, name)).join(' and ')} ${pair.relation}${phase}`
        : '';
      lenses.push({ ...command, title: `${formatQuantity(duration, 's')}${stand}` });
    } else if (state?.is === 'pending' && state.stopped)
      lenses.push({ ...command, title: 'Measuring was stopped: measure' });
    else if (state?.is === 'failed') lenses.push({ ...command, title: state.message });
    else if (state) lenses.push({ span, title: 'Being measured' });
  }
  return lenses;
}

/** Where a channel sits, as the board writes it; its own name where the board does not say. */
function placeText({ channels }: Capture, name: string): string {
  const points = channels.find(({ key }) => key === name)?.points ?? [];
  return points.length === 0 ? name : points.map(({ text }) => text).join(' − ');
}

/** While recordings are measured or causes worked out, nothing found yet is not nothing found. */
function countText(count: number, settled: boolean): string {
  if (count === 0) return settled ? 'Nothing found' : 'Being checked';
  return count === 1 ? '1 finding' : `${count} findings`;
}

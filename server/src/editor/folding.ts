import type { Node } from '../dialect/node';
import type { Position } from '../text/lines';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';

/** Lines that fold away behind the first of them. */
export interface Fold {
  readonly startLine: number;
  readonly endLine: number;
  readonly kind: 'region' | 'comment';
}

/** What can be folded: keys and entries over several lines, and runs of comment lines. */
export function folds({ parsed, lines, text }: BoardAnalysis | PinoutAnalysis): Fold[] {
  const found = new Map<number, Fold>();
  const lineOf = (offset: number): number => (lines.position(offset) as Position).line;
  const add = (start: number, end: number) => {
    const startLine = lineOf(start);
    const endLine = lineOf(trimmed(text, start, end));
    const before = found.get(startLine);
    if (endLine > startLine && (!before || before.endLine < endLine))
      found.set(startLine, { startLine, endLine, kind: 'region' });
  };
  const walk = (node: Node | null): void => {
    if (!node || node.kind === 'scalar' || node.repeat) return;
    if (node.kind === 'map')
      for (const { span, value } of node.pairs) {
        add(span.start, span.end);
        walk(value);
      }
    else
      for (const item of node.items) {
        if (item) add(item.span.start, item.span.end);
        walk(item);
      }
  };
  walk(parsed.tree.root);
  for (let line = 0; line < lines.count; line++) {
    const first = line;
    while (line < lines.count && /^\s*#/.test(lines.line(line))) line++;
    if (line - first > 1) found.set(first, { startLine: first, endLine: line - 1, kind: 'comment' });
  }
  return [...found.values()].sort((a, b) => a.startLine - b.startLine);
}

/** The end of a stretch without the blanks behind it. */
function trimmed(text: string, start: number, end: number): number {
  let at = end;
  while (at > start && /\s/.test(text[at - 1]!)) at--;
  return at;
}

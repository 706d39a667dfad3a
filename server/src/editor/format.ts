import type { Node } from '../dialect/node';
import { parseTree } from '../dialect/tree';
import type { Edit } from '../text/finding';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { colonBlanks, flowBlanks, lineEnds, scalars, type Tidying } from './layout/blanks';
import { indentation } from './layout/indentation';

/** What the formatter goes by. */
type Formatted = Pick<BoardAnalysis, 'text' | 'parsed' | 'uri'> | Pick<PinoutAnalysis, 'text' | 'parsed' | 'uri'>;

/**
 * Tidies what has no meaning: two blanks a level, one behind commas, colons and dashes, none inside brackets and at line ends, one blank line at
 * most, a line break at the end. Comments, quotes, order, values that stand below one another, and the choice between brackets and lines stay as
 * they are. Nothing is done to a text that does not parse, and nothing that would change what is read.
 */
export function format({ text, parsed, uri }: Formatted): Edit[] {
  const { root, broken, problems } = parsed.tree;
  if (!root || broken.length > 0 || problems.some((problem) => problem.check === 'syntax')) return [];
  const kept = scalars(root);
  const blanks = [...flowBlanks(text, root, kept), ...colonBlanks(text, root), ...lineEnds(text, kept)];
  const indents = root.kind === 'map' ? indentation(text, root) : [];
  const meaning = shape(root);
  for (const tidyings of [[...indents, ...blanks], blanks]) {
    const edits = apart(text, tidyings);
    const read = parseTree(applied(text, edits));
    if (read.root && read.problems.length === problems.length && shape(read.root) === meaning)
      return edits.map((edit) => ({ file: uri, ...edit }));
  }
  return [];
}

/** Those that change something, by place; of two that overlap the first. */
function apart(text: string, tidyings: readonly Tidying[]): Tidying[] {
  const edits: Tidying[] = [];
  for (const edit of [...tidyings].sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end))
    if (edit.span.start >= (edits.at(-1)?.span.end ?? 0) && text.slice(edit.span.start, edit.span.end) !== edit.text)
      edits.push(edit);
  return edits;
}

const applied = (text: string, edits: readonly Tidying[]): string =>
  edits.reduceRight((all, { span, text: put }) => all.slice(0, span.start) + put + all.slice(span.end), text);

/** What is read, without where it stands. */
function shape(node: Node | null): string {
  if (!node) return '~';
  if (node.kind === 'scalar') return JSON.stringify([node.text, node.quoted]);
  if (node.kind === 'list') return `[${node.items.map(shape).join()}]`;
  return `{${node.pairs.map((pair) => `${shape(pair.key)}:${shape(pair.value)}`).join()}}`;
}

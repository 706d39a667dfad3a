import type { Node } from '../dialect/node';
import { parseTree } from '../dialect/tree';
import type { Edit } from '../text/finding';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { breakOf } from './refactor/nodes';

/**
 * Tidies what has no meaning: blanks at line ends, tabs before comments, more than one blank line, blanks inside braces and around commas,
 * the line break at the end. Comments, quotes, indentation, order and the choice between lists in brackets and on lines stay as they are. Nothing is
 * done to a text that does not parse, and nothing that would change what is read.
 */
export function format(analysis: BoardAnalysis | PinoutAnalysis): Edit[] {
  const { text, parsed, uri } = analysis;
  const { root, broken, problems } = parsed.tree;
  if (!root || broken.length > 0 || problems.some((problem) => problem.check === 'syntax')) return [];
  const kept = scalars(root);
  const spans = [...flowBlanks(text, root, kept), ...lineEnds(text, kept)];
  const edits: { span: Span; text: string }[] = [];
  for (const edit of spans.sort((a, b) => a.span.start - b.span.start))
    if (edit.span.start >= (edits.at(-1)?.span.end ?? 0) && text.slice(edit.span.start, edit.span.end) !== edit.text)
      edits.push(edit);
  if (edits.length === 0) return [];
  const after = edits.reduceRight(
    (all, { span, text: put }) => all.slice(0, span.start) + put + all.slice(span.end),
    text,
  );
  const read = parseTree(after).root;
  return read && shape(read) === shape(root) ? edits.map((edit) => ({ file: uri, ...edit })) : [];
}

/** Scalars of several lines: their blanks may mean something. */
function scalars(root: Node): Span[] {
  const found: Span[] = [];
  const walk = (node: Node | null): void => {
    if (!node) return;
    if (node.kind === 'scalar') found.push(node.span);
    else if (node.kind === 'list') node.items.forEach(walk);
    else
      for (const { key, value } of node.pairs) {
        walk(key);
        walk(value);
      }
  };
  walk(root);
  return found.sort((a, b) => a.start - b.start);
}

/** Whether an offset lies in one of some sorted spans. */
function inside(spans: readonly Span[], offset: number): boolean {
  let low = 0;
  let high = spans.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (spans[middle]!.end <= offset) low = middle + 1;
    else high = middle;
  }
  return spans[low] !== undefined && spans[low]!.start <= offset;
}

/** One blank behind a comma and a colon, none inside brackets, none before a comma; on one line alone. */
function flowBlanks(text: string, root: Node, kept: readonly Span[]): { span: Span; text: string }[] {
  const edits: { span: Span; text: string }[] = [];
  const walk = (node: Node | null): void => {
    if (!node || node.kind === 'scalar' || node.repeat) return;
    if (node.flow && !/[\r\n#]/.test(text.slice(node.span.start, node.span.end))) {
      const source = text.slice(node.span.start, node.span.end);
      for (const match of source.matchAll(/([[{])[ \t]+|[ \t]+([\]}])|[ \t]*,[ \t]*(?=[^\s\]}])/g)) {
        const start = node.span.start + match.index;
        const sign = match[1] ?? match[2] ?? ',';
        if (inside(kept, start + match[0].indexOf(sign)) || inside(kept, start)) continue;
        edits.push({ span: { start, end: start + match[0].length }, text: sign === ',' ? ', ' : sign });
      }
      return;
    }
    if (node.kind === 'list') node.items.forEach(walk);
    else for (const { value } of node.pairs) walk(value);
  };
  walk(root);
  return edits;
}

function lineEnds(text: string, kept: readonly Span[]): { span: Span; text: string }[] {
  const edits: { span: Span; text: string }[] = [];
  const end = breakOf(text);
  for (const match of text.matchAll(/[ \t]+(?=\r?\n|$)|(?:\r?\n[ \t]*){3,}(?=\S)/g)) {
    const start = match.index;
    if (inside(kept, start) || inside(kept, start + match[0].length - 1)) continue;
    const lines = match[0].includes('\n');
    const indent = lines ? /[ \t]*$/.exec(match[0])![0] : '';
    edits.push({ span: { start, end: start + match[0].length }, text: lines ? end + end + indent : '' });
  }
  const tail = /\s*$/.exec(text)!;
  if (text.trim() !== '' && !inside(kept, tail.index) && tail[0] !== end)
    edits.push({ span: { start: tail.index, end: text.length }, text: end });
  return edits;
}

/** What is read, without where it stands. */
function shape(node: Node | null): string {
  if (!node) return '~';
  if (node.kind === 'scalar') return JSON.stringify([node.text, node.quoted]);
  if (node.kind === 'list') return `[${node.items.map(shape).join()}]`;
  return `{${node.pairs.map((pair) => `${shape(pair.key)}:${shape(pair.value)}`).join()}}`;
}

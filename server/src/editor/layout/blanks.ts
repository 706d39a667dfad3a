import type { Node, Pair } from '../../dialect/node';
import type { Span } from '../../text/span';
import { breakOf, lineStart } from '../refactor/nodes';

/** One change that has no meaning. */
export interface Tidying {
  readonly span: Span;
  readonly text: string;
}

/** The scalars of a tree, whose blanks may mean something, by place. */
export function scalars(root: Node): Span[] {
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

/** On one line: one blank behind a comma and a colon, none inside brackets, none before a comma or colon. */
export function flowBlanks(text: string, root: Node, kept: readonly Span[]): Tidying[] {
  const edits: Tidying[] = [];
  const colons = (node: Node | null): void => {
    if (node?.kind === 'list') node.items.forEach(colons);
    if (node?.kind === 'map')
      for (const pair of node.pairs) {
        edits.push(...colon(text, pair));
        colons(pair.value);
      }
  };
  const walk = (node: Node | null): void => {
    if (!node || node.kind === 'scalar' || node.repeat) return;
    const source = text.slice(node.span.start, node.span.end);
    if (node.flow && !/[\r\n#]/.test(source)) {
      for (const match of source.matchAll(/([[{])[ \t]+|[ \t]+([\]}])|[ \t]*,[ \t]*(?=[^\s\]}])/g)) {
        const start = node.span.start + match.index;
        const sign = match[1] ?? match[2] ?? ',';
        if (inside(kept, start + match[0].indexOf(sign)) || inside(kept, start)) continue;
        edits.push({ span: { start, end: start + match[0].length }, text: sign === ',' ? ', ' : sign });
      }
      colons(node);
    } else if (node.kind === 'list') node.items.forEach(walk);
    else for (const { value } of node.pairs) walk(value);
  };
  walk(root);
  return edits;
}

/** On lines of their own: one blank behind a colon, unless values stand below one another on purpose. */
export function colonBlanks(text: string, root: Node): Tidying[] {
  const edits: Tidying[] = [];
  const walk = (node: Node | null): void => {
    if (!node || node.kind === 'scalar' || node.flow || node.repeat) return;
    if (node.kind === 'list') node.items.forEach(walk);
    else {
      const columns = node.pairs.map((pair) => valueColumn(text, pair));
      const count = new Map<number, number>();
      for (const column of columns) if (column !== undefined) count.set(column, (count.get(column) ?? 0) + 1);
      node.pairs.forEach((pair, index) => {
        const column = columns[index];
        if (column === undefined) edits.push(...beforeColon(text, pair));
        else if (count.get(column) === 1) edits.push(...colon(text, pair));
        walk(pair.value);
      });
    }
  };
  walk(root);
  return edits;
}

/** The column of a value on the line of its key. */
function valueColumn(text: string, { key, value }: Pair): number | undefined {
  if (!value || value.repeat || /[\r\n]/.test(text.slice(key.span.end, value.span.start))) return undefined;
  return value.span.start - lineStart(text, value.span.start);
}

function beforeColon(text: string, { key, bare }: Pair): Tidying[] {
  const blanks = bare || key.repeat ? undefined : /^[ \t]+(?=:)/.exec(text.slice(key.span.end, key.span.end + 80))?.[0];
  return blanks ? [{ span: { start: key.span.end, end: key.span.end + blanks.length }, text: '' }] : [];
}

/** None before a pair's colon and one behind it. */
function colon(text: string, { key, value, bare }: Pair): Tidying[] {
  if (bare || !value || value.repeat || key.repeat || value.span.start < key.span.end) return [];
  const match = /^[ \t]*:[ \t]*$/.exec(text.slice(key.span.end, value.span.start));
  return match ? [{ span: { start: key.span.end, end: value.span.start }, text: ': ' }] : [];
}

/** No blanks at line ends, one blank line at most, and one line break at the end. */
export function lineEnds(text: string, kept: readonly Span[]): Tidying[] {
  const edits: Tidying[] = [];
  const end = breakOf(text);
  const { index: tail } = /\s*$/.exec(text)!;
  for (const match of text.matchAll(/[ \t]+(?=\r?\n|$)|(?:\r?\n[ \t]*){2,}\r?\n(?=[ \t]*\S)/g)) {
    const start = match.index;
    if (start >= tail || inside(kept, start) || inside(kept, start + match[0].length - 1)) continue;
    edits.push({ span: { start, end: start + match[0].length }, text: match[0].includes('\n') ? end + end : '' });
  }
  if (text.trim() !== '' && !inside(kept, tail)) edits.push({ span: { start: tail, end: text.length }, text: end });
  return edits;
}

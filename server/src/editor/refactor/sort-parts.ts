import type { MapNode } from '../../dialect/node';
import { compareText, type Edit } from '../../text/finding';
import type { Span } from '../../text/span';
import type { Action } from '../actions';
import type { BoardAnalysis } from '../analysis';
import { asMap, breakOf, lineStart, nextLine, pairOf, touched } from './nodes';

/** Parts in the order of their designators, letters first, numbers by size; comments stay with the part they stand at. */
export function sortParts({ parsed, text, uri }: BoardAnalysis, selection: Span): Action[] {
  const root = asMap(parsed.tree.root);
  const pair = touched(root, selection);
  const map = asMap(pairOf(root, 'parts')?.value);
  if (pair?.key.text !== 'parts' || !map || map.pairs.length < 2) return [];
  const edits = map.flow ? sortInBrackets(text, uri, map) : sortLines(text, uri, map);
  return edits.length === 0 ? [] : [{ title: 'Sort parts by designator', kind: 'rewrite', safe: false, edits }];
}

/** Each place in the brackets gets the part that belongs there; with comments between them it would not be known whose they are. */
function sortInBrackets(text: string, file: string, { pairs, span }: MapNode): Edit[] {
  if (/(^|\s)#/.test(text.slice(span.start, span.end))) return [];
  const sorted = [...pairs].sort((a, b) => compareDesignators(a.key.text, b.key.text));
  return pairs.flatMap((pair, at) => {
    const { start, end } = sorted[at]!.span;
    return sorted[at] === pair ? [] : [{ file, span: pair.span, text: text.slice(start, end) }];
  });
}

function sortLines(text: string, file: string, map: MapNode): Edit[] {
  if (!map.pairs.every(({ span }) => /^[ \t]*$/.test(text.slice(lineStart(text, span.start), span.start)))) return [];
  const first = lineStart(text, map.pairs[0]!.span.start);
  let at = first;
  const chunks = map.pairs.map(({ key, span }) => {
    const start = at;
    at = nextLine(text, span.end);
    const lines = text.slice(start, at);
    return { name: key.text, lines: /[\r\n]$/.test(lines) ? lines : lines + breakOf(text) };
  });
  const sorted = [...chunks].sort((a, b) => compareDesignators(a.name, b.name));
  if (sorted.every((chunk, index) => chunk === chunks[index])) return [];
  const written = sorted.map((chunk) => chunk.lines).join('');
  const put = /[\r\n]$/.test(text.slice(first, at)) ? written : written.replace(/\r?\n$/, '');
  return [{ file, span: { start: first, end: at }, text: put }];
}

/** R2 before R10, C before R; what is no designator comes last, as it is written. */
export function compareDesignators(a: string, b: string): number {
  const [x, y] = [a, b].map((name) => /^([A-Za-z]+)(\d+)(.*)$/.exec(name));
  if (!x || !y) return x ? -1 : y ? 1 : compareText(a, b);
  return compareText(x[1]!, y[1]!) || Number(x[2]) - Number(y[2]) || compareText(x[3]!, y[3]!);
}

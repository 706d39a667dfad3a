import type { MapNode, Node } from '../../dialect/node';
import type { Span } from '../../text/span';
import { blanks, lineStart } from '../refactor/nodes';
import type { Tidying } from './blanks';

/** Where a line's content goes: behind its dashes. */
interface Placed {
  /** Offset of the content. */
  readonly at: number;
  readonly column: number;
}

/**
 * Two blanks a level, lists a level below their key, one blank behind a dash. Lines that go on move with the line they belong to, comments with
 * the entry below them, or above where they stand further in than that. Empty where some line is laid out in a way that cannot be judged.
 */
export function indentation(text: string, root: MapNode): Tidying[] {
  if (root.flow || /^(---|\.\.\.|%)/m.test(text)) return [];
  const lines = placed(text, root);
  return lines ? moves(text, lines) : [];
}

/**
 * By the start of its line: what each line that starts an entry holds. Undefined where one is laid out otherwise than with dashes and a key or
 * text: behind an anchor or a question mark, or on the line below its dash.
 */
function placed(text: string, root: MapNode): Map<number, Placed> | undefined {
  const lines = new Map<number, Placed>();
  let usual = true;
  const put = ({ start }: Span, column: number): void => {
    const line = lineStart(text, start);
    usual &&= /^ *(- +)*$/.test(text.slice(line, start));
    lines.set(line, { at: start, column });
  };
  const walk = (node: Node | null, column: number): void => {
    if (!node || node.kind === 'scalar' || node.flow || node.repeat) return;
    if (node.kind === 'map')
      for (const { key, value } of node.pairs) {
        put(key.span, column);
        walk(value, column + 2);
      }
    else
      for (const item of node.items) {
        if (!item || item.kind === 'scalar' || item.flow || item.repeat) put(item?.span ?? node.span, column + 2);
        else walk(item, column + 2);
        // A dash with nothing behind it has no place of its own.
        const start = item && startOf(item);
        usual &&= start !== null && /^ *-/.test(text.slice(lineStart(text, start), start));
      }
  };
  walk(root, 0);
  return usual ? lines : undefined;
}

/** Where a node's first entry stands, its dashes left out. */
function startOf(node: Node): number {
  if (node.kind === 'list' && !node.flow) {
    const first = node.items.find((item) => item !== null);
    return first ? startOf(first) : node.span.start;
  }
  return node.kind === 'map' && !node.flow ? node.pairs[0]!.key.span.start : node.span.start;
}

function moves(text: string, lines: ReadonlyMap<number, Placed>): Tidying[] {
  const edits: Tidying[] = [];
  let shift = 0;
  let waiting: { readonly start: number; readonly column: number }[] = [];
  const move = (start: number, column: number, by: number): void => {
    edits.push({ span: { start, end: start + column }, text: blanks(Math.max(0, column + by)) });
  };
  for (const match of text.matchAll(/^([ \t]*)(\S.*)$/gm)) {
    const start = match.index;
    const column = match[1]!.length;
    const entry = lines.get(start);
    if (!entry && match[2]!.startsWith('#')) {
      waiting.push({ start, column });
      continue;
    }
    const before = shift;
    if (entry) {
      const dashes = text.slice(start, entry.at).split('-').length - 1;
      const prefix = blanks(entry.column - 2 * dashes) + '- '.repeat(dashes);
      edits.push({ span: { start, end: entry.at }, text: prefix });
      const outer = prefix.length - 2 * dashes - column;
      for (const one of waiting) move(one.start, one.column, one.column <= column ? outer : before);
      shift = entry.column - (entry.at - start);
    } else {
      for (const one of waiting) move(one.start, one.column, shift);
      move(start, column, shift);
    }
    waiting = [];
  }
  for (const one of waiting) move(one.start, one.column, one.column === 0 ? 0 : shift);
  return edits;
}

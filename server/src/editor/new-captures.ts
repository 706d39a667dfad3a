import type { Edit } from '../text/finding';
import type { BoardAnalysis } from './analysis';
import { scalar } from './complete/item';
import { asMap, blanks, breakOf, lineStart, nextLine, pairOf } from './refactor/nodes';

/**
 * Entries for recordings that have none yet, at the end of a board's `captures`, or that key with them at the end of the board.
 * `paths` are relative to the board, with slashes. Nothing where the captures stand in braces or in a text that is broken there.
 */
export function newCaptures({ parsed, board, text, uri }: BoardAnalysis, paths: readonly string[]): Edit[] {
  const known = new Set(board.captures.flatMap((capture) => capture.file?.path ?? []));
  const fresh = [...new Set(paths)].filter((path) => !known.has(path) && /\.(wave?|csv)$/i.test(path));
  const root = parsed.tree.root;
  const pair = pairOf(root, 'captures');
  const map = asMap(pair?.value);
  const unfit = map?.flow || (pair?.value && !map) || (root && (root.kind !== 'map' || root.flow));
  if (fresh.length === 0 || unfit || parsed.broken.length > 0) return [];
  const end = breakOf(text);
  const first = map?.pairs[0];
  const indent = first ? first.key.span.start - lineStart(text, first.key.span.start) : 2;
  const names = new Set(board.captures.map((capture) => capture.name));
  const entries = fresh.map((path) => {
    const name = freeName(path, names);
    names.add(name);
    const key = scalar(name, { flow: false });
    return `${blanks(indent)}${key}:${end}${blanks(indent + 2)}file: ${scalar(path, { flow: false })}${end}`;
  });
  const at = pair ? nextLine(text, (map?.pairs.at(-1) ?? pair).span.end) : text.length;
  const before = at > 0 && !/[\r\n]/.test(text[at - 1]!) ? end : '';
  const head = pair ? '' : `${text.trim() === '' ? '' : end}captures:${end}`;
  return [{ file: uri, span: { start: at, end: at }, text: before + head + entries.join('') }];
}

/** The file's name without folder and suffix, with a number where that is taken. */
function freeName(path: string, taken: ReadonlySet<string>): string {
  const stem = path.slice(path.lastIndexOf('/') + 1).replace(/\.[^.]*$/, '');
  let name = stem;
  for (let number = 2; taken.has(name); number++) name = `${stem}-${number}`;
  return name;
}

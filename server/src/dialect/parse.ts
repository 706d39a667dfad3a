import type { Span } from '../text/span';
import { type BoardFile, boardFile } from './board-file';
import { Complaints } from './complain';
import { type PinoutFile, pinoutFile } from './pinout-file';
import { read } from './read';
import type { PieceCache } from './split';
import { parseTree, type Tree } from './tree';
import type { Problem, Read, RecordType } from './type';

export interface Parsed<T> {
  readonly value: T;
  readonly tree: Tree;
  /** Syntax and meaning together, by place. */
  readonly problems: readonly Problem[];
  /** Stretches whose syntax is broken: say nothing about what they mean. */
  readonly broken: readonly Span[];
}

/** Reads the text of a board file. Any text will do: never throws; linear in its length. */
export const parseBoard = (text: string, cache?: PieceCache): Parsed<BoardFile> =>
  parse(boardFile, text, 'A board file is a map of keys, and starts with `board: ` and a title.', cache);

/** Reads the text of a pinout file, as `parseBoard` does a board's. */
export const parsePinout = (text: string, cache?: PieceCache): Parsed<PinoutFile> =>
  parse(pinoutFile, text, 'A pinout file is a map of keys, and starts with `pinout: ` and a name.', cache);

function parse<T extends RecordType>(type: T, text: string, shape: string, cache?: PieceCache): Parsed<Read<T>> {
  const tree = parseTree(text, cache);
  const to = new Complaints(text, tree.broken);
  const { root } = tree;
  const span = root?.span ?? { start: 0, end: 0 };
  // Broken syntax anywhere may be what hides a key of the file, so the whole text is the map's place.
  const file = root?.kind === 'map' ? { ...root, span: { start: 0, end: text.length } } : null;
  const value = read(type, file, span, to);
  if (root === null) to.add({ check: 'missing-key', span, message: shape });
  else if (root.kind !== 'map') {
    const first = root.kind === 'scalar' ? root.span : { start: span.start, end: Math.min(span.end, span.start + 1) };
    if (!(root.kind === 'scalar' && root.misread)) to.add({ check: 'wrong-type', span: first, message: shape });
  }
  const problems = [...tree.problems, ...to.problems()].sort((a, b) => a.span.start - b.span.start);
  return { value, tree, problems, broken: tree.broken };
}

import { type Composed, type Covered, compose } from './compose';
import type { Draft } from './draft';
import { type MapNode, type Node, type Pair, shiftNode } from './node';

/**
 * Pieces of text already parsed, by content. Each remembers the offset it was last seen at: text above a change keeps its nodes, text below
 * gets them shifted. Bounded by characters, the longest unused going first.
 */
export class PieceCache {
  private readonly pieces = new Map<string, { from: number; node: Node | null }>();
  private size = 0;

  constructor(private readonly limit = 4_000_000) {}

  get(key: string, from: number): { node: Node | null } | undefined {
    const found = this.pieces.get(key);
    if (!found) return undefined;
    this.pieces.delete(key);
    const node = found.node && shiftNode(found.node, from - found.from);
    this.pieces.set(key, { from, node });
    return { node };
  }

  set(key: string, from: number, node: Node | null): void {
    if (this.pieces.has(key) || key.length > this.limit) return;
    this.pieces.set(key, { from, node });
    this.size += key.length;
    for (const old of this.pieces.keys()) {
      if (this.size <= this.limit) break;
      this.pieces.delete(old);
      this.size -= old.length;
    }
  }
}

interface Piece {
  readonly start: number;
  readonly end: number;
}

/**
 * Parses a scanned text by top-level key, then by entry, taking from the cache what has not changed. Undefined where that could differ
 * from parsing it whole: something reaches across pieces, or a piece does not parse by itself.
 */
export function composeSplit(draft: Draft, masked: string, cache: PieceCache): Composed | undefined {
  if (draft.whole || draft.broken.length > 0) return undefined;
  const sections = cut(masked, 0, masked.length, 0, false);
  if (!sections) return undefined;
  const pairs: Pair[] = [];
  for (const section of sections) {
    const pair = readSection(draft, masked, section, cache);
    if (!pair) return undefined;
    pairs.push(pair);
  }
  if (pairs.length === 0) return undefined;
  const root: MapNode = {
    kind: 'map',
    pairs,
    flow: false,
    span: { start: pairs[0]!.span.start, end: pairs.at(-1)!.span.end },
  };
  return { root, problems: [], clean: true };
}

/** A top-level key with its value: the entries below it one by one where they stand clear of one another. */
function readSection(draft: Draft, masked: string, section: Piece, cache: PieceCache): Pair | undefined {
  const header = /^[^\n]*:[ \t]*(?:[ \t]#[^\n]*)?\r?\n/.exec(masked.slice(section.start, section.end))?.[0];
  const entries = header && cutEntries(masked, section.start + header.length, section.end);
  const key =
    entries && onlyPair(readPiece(draft, masked, { start: section.start, end: section.start + header.length }, cache));
  if (!entries || !key || key.value !== null) return onlyPair(readPiece(draft, masked, section, cache));
  const nodes: Node[] = [];
  for (const entry of entries) {
    const node = readPiece(draft, masked, entry, cache);
    if (!node || node.kind === 'scalar' || node.flow || node.kind !== (nodes[0] ?? node).kind) {
      return onlyPair(readPiece(draft, masked, section, cache));
    }
    nodes.push(node);
  }
  const span = { start: nodes[0]!.span.start, end: nodes.at(-1)!.span.end };
  const value: Node =
    nodes[0]!.kind === 'map'
      ? { kind: 'map', pairs: nodes.flatMap((node) => (node.kind === 'map' ? node.pairs : [])), flow: false, span }
      : { kind: 'list', items: nodes.flatMap((node) => (node.kind === 'list' ? node.items : [])), flow: false, span };
  return { ...key, value, span: { start: key.span.start, end: span.end } };
}

const onlyPair = (node: Node | null | undefined): Pair | undefined =>
  node?.kind === 'map' && node.pairs.length === 1 && !node.flow ? node.pairs[0] : undefined;

/** The node of one piece; undefined where it does not parse cleanly by itself. */
function readPiece(draft: Draft, masked: string, { start, end }: Piece, cache: PieceCache): Node | null | undefined {
  const text = draft.text.slice(start, end);
  const parsed = masked.slice(start, end);
  const key = text === parsed ? text : `${text}\0${parsed}`;
  const found = cache.get(key, start);
  if (found) return found.node;
  const covered: Covered = draft;
  const composed = compose(parsed, start, covered, []);
  if (!composed.clean) return undefined;
  cache.set(key, start, composed.root);
  return composed.root;
}

/** The entries under a key: pieces that each start in the column of the first. */
function cutEntries(masked: string, start: number, end: number): Piece[] | undefined {
  const first = /^( *)([^\s#])/m.exec(masked.slice(start, end));
  if (!first || (first[1] === '' && first[2] !== '-')) return undefined;
  return cut(masked, start, end, first[1]!.length, first[2] === '-');
}

/**
 * Cuts at each line that starts in this column. Lines further in, comments and blank lines stay with what they follow, and so does a closing
 * bracket. Undefined where a line stands further out, or where keys and list entries mix.
 */
function cut(masked: string, start: number, end: number, column: number, list: boolean): Piece[] | undefined {
  const starts: number[] = [];
  for (let at = start; at < end; ) {
    const feed = masked.indexOf('\n', at);
    const next = feed < 0 || feed >= end ? end : feed + 1;
    let p = at;
    if (p === 0 && masked[0] === '\ufeff') p++;
    const line = p;
    while (masked[p] === ' ') p++;
    const c = masked[p];
    if (c !== '\n' && c !== '\r' && c !== '#' && p < next) {
      if (c === '\t') return undefined;
      if (p - line < column) return undefined;
      if (p - line === column && c !== ']' && c !== '}') {
        const dash = c === '-' && /[\s]/.test(masked[p + 1] ?? ' ');
        // A list may stand in the column of its own key.
        if (column === 0 && dash && !list) {
          if (starts.length === 0) return undefined;
        } else if (dash !== list) return undefined;
        else starts.push(at);
      } else if (starts.length === 0) return undefined;
    }
    at = next;
  }
  return starts.map((from, i) => ({ start: from, end: starts[i + 1] ?? end }));
}

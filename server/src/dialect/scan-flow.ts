import type { Draft } from './draft';
import { isTextHash, leadingSigns, type MisreadKind } from './misread';

/** Deeper than anything the dialect has; it keeps the parser's recursion shallow. */
export const deepest = 40;

/** How far a doubtful sign looks for its partner: far enough for any text someone types, and a bound on the work. */
const lookAhead = 200;

interface Open {
  readonly mark: string;
  readonly at: number;
}

/** What may stand next inside brackets. */
type Turn = 'item' | 'value' | 'after';

/**
 * Walks the bracketed value that starts at `from` and covers what YAML would not read as written. Lines indented by
 * `indent` or less end it, closed or not. Returns the offset behind it, and whether it was closed.
 */
export function scanFlow(draft: Draft, from: number, indent: number): { end: number; closed: boolean } {
  const { src } = draft;
  const open: Open[] = [];
  let turn: Turn = 'item';
  let p = from;
  let solid = from;
  const unclosed = () => {
    const first = open[0]!;
    // What seems wrong inside may only follow from the missing bracket.
    draft.forgive(from);
    const closer = open.map((bracket) => closers[bracket.mark]).reverse();
    draft.report({ start: first.at, end: first.at + 1 }, `This \`${first.mark}\` is never closed.`, [
      {
        title: `Close it with \`${closer.join('')}\``,
        edits: [{ span: { start: solid, end: solid }, text: closer.join('') }],
        safe: false,
      },
    ]);
    draft.broken.push({ start: from, end: solid });
    return { end: solid, closed: false };
  };

  while (true) {
    p = draft.skipSpaces(p);
    const c = src[p];
    if (c === undefined) return unclosed();
    if (c === '\r') p++;
    else if (c === '\n') {
      const start = p + 1;
      const first = draft.skipSpaces(start);
      const closing = open.length === 1 && first - start === indent && /[\]}]/.test(src[first] ?? '');
      if (first < draft.lineEnd(start) && src[first] !== '#' && first - start <= indent && !closing) return unclosed();
      for (let tab = start; tab < first; tab++) if (src[tab] === '\t') draft.cover(tab, ' ');
      p = first;
    } else if (c === '#' && draft.isGap(p - 1) && !hashIsText(draft, p, turn)) p = draft.lineEnd(p);
    else if (c === '{' || c === '[') {
      if (open.length >= deepest) return tooDeep(draft, open, p, indent);
      open.push({ mark: c, at: p });
      turn = 'item';
      solid = ++p;
    } else if (c === '}' || c === ']') {
      const bracket = open.pop()!;
      const right = closers[bracket.mark]!;
      if (c !== right) {
        draft.report({ start: p, end: p + 1 }, `\`${c}\` cannot close \`${bracket.mark}\`: that takes \`${right}\`.`, [
          { title: `Write \`${right}\``, edits: [{ span: { start: p, end: p + 1 }, text: right }], safe: true },
        ]);
        draft.cover(p, right);
      }
      turn = 'after';
      solid = ++p;
      if (open.length === 0) return { end: p, closed: true };
    } else if (c === ',') {
      if (turn === 'item') emptyEntry(draft, p);
      turn = 'item';
      solid = ++p;
    } else if (c === ':' && turn !== 'value' && (turn === 'after' || ends(draft, p + 1))) {
      turn = 'value';
      solid = ++p;
    } else {
      const end = scanItem(draft, p, turn, open.at(-1)!.mark, indent);
      turn = end.turn;
      solid = p = end.at;
    }
  }
}

/** A comma with nothing before it. */
function emptyEntry(draft: Draft, at: number): void {
  const span = { start: at, end: at + 1 };
  const fix = { title: 'Take it out', edits: [{ span, text: '' }], safe: false };
  draft.report(span, 'Nothing stands before this comma.', [fix]);
  draft.cover(at, ' ');
}

const closers: Readonly<Record<string, string>> = { '{': '}', '[': ']' };

const ends = (draft: Draft, at: number): boolean => draft.isGap(at) || ',]}'.includes(draft.src[at]!);

/** Inside brackets a `#` is text where it stands for a value, or where a bracket closes behind it on the same line. */
function hashIsText(draft: Draft, at: number, turn: Turn): boolean {
  if (turn === 'after' || !isTextHash(draft.src, at)) return false;
  return turn === 'value' || /[\]}]/.test(draft.src.slice(at, Math.min(draft.lineEnd(at), at + lookAhead)));
}

/** One scalar: quoted, a reference, or plain. */
function scanItem(draft: Draft, p: number, turn: Turn, bracket: string, indent: number): { at: number; turn: Turn } {
  const { src } = draft;
  const c = src[p]!;
  let kind: MisreadKind | undefined;
  if (c === '"' || c === "'") {
    const close = draft.closingQuote(p, indent, ',]}:');
    if (close >= 0) return { at: close + 1, turn: 'after' };
    kind = 'quote';
  } else if (c === '&' || c === '*') {
    const end = draft.referenceEnd(p);
    if (end !== undefined) return { at: end, turn: c === '&' ? turn : 'after' };
    kind = 'leading';
  } else if (leadingSigns.includes(c) || (c === '?' && ends(draft, p + 1))) kind = 'leading';
  else if (c === '-' && ends(draft, p + 1)) kind = 'dash';

  const line = draft.lineEnd(p);
  let at = p;
  let colon = -1;
  scan: for (; at < line; at++) {
    switch (src[at]) {
      case ',':
      case '}':
      case ']':
        break scan;
      case '{':
      case '[': {
        const close = bracketPair(src, at, Math.min(line, at + lookAhead));
        if (close < 0) break;
        kind ??= 'bracket';
        at = close;
        break;
      }
      case ':':
        if (at === p || !ends(draft, at + 1)) break;
        // In a list or a map the first colon ends a key; inside a value it is text.
        if (turn === 'item' && kind !== 'quote') break scan;
        if (turn === 'after') {
          colon = at;
          break scan;
        }
        kind ??= 'colon';
        break;
      case '#':
        if (at === p || !draft.isSpace(at - 1)) break;
        if (!isTextHash(src, at)) break scan;
        kind ??= 'hash';
        break;
    }
  }
  let end = at;
  while (end > p && draft.isSpace(end - 1)) end--;
  if (end === p) return { at: p + 1, turn };
  if (turn === 'after') return { at: missingComma(draft, p, end, colon, bracket), turn: colon < 0 ? 'after' : 'item' };
  if (kind) draft.misread(p, end, kind);
  return { at: end, turn: 'after' };
}

/** The offset of the bracket that closes the one at `at` on the same line, or -1. */
function bracketPair(src: string, at: number, line: number): number {
  let depth = 0;
  for (let p = at; p < line; p++) {
    if (src[p] === '{' || src[p] === '[') depth++;
    else if ((src[p] === '}' || src[p] === ']') && --depth === 0) return p;
  }
  return -1;
}

/** Text right behind a value: on a new line a key of its own whose comma is missing, else more of the same text. */
function missingComma(draft: Draft, p: number, end: number, colon: number, bracket: string): number {
  if (colon < 0 || bracket !== '{') return end;
  let before = p;
  while (draft.isGap(before - 1)) before--;
  draft.report({ start: p, end }, 'A comma is missing before this key.', [
    { title: 'Put a comma before it', edits: [{ span: { start: before, end: before }, text: ',' }], safe: true },
  ]);
  if (before < p) draft.cover(before, draft.src[before] === '\r' ? ', ' : ',');
  return end;
}

/** Gives up on brackets nested too deep: nothing of them reaches the parser. */
function tooDeep(draft: Draft, open: Open[], at: number, indent: number): { end: number; closed: boolean } {
  const from = open[0]!.at;
  let end = draft.lineEnd(at);
  while (end < draft.src.length) {
    const start = draft.nextLine(end);
    const first = draft.skipSpaces(start);
    if (start >= draft.src.length || (first < draft.lineEnd(start) && first - start <= indent)) break;
    end = draft.lineEnd(start);
  }
  draft.forgive(from);
  draft.uncover(from);
  draft.report({ start: at, end: at + 1 }, `Brackets are nested more than ${deepest} deep here.`);
  draft.broken.push({ start: from, end });
  draft.blank(from, end);
  return { end, closed: false };
}

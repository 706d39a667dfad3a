import { Draft } from './draft';
import { isTextHash, leadingSigns, type MisreadKind } from './misread';
import { deepest, scanFlow } from './scan-flow';
import { coverBareKey, type Level, reportColumn, reportTabs } from './slips';

const root: Level = { indent: -1, list: false };

/** Reads a text line by line and makes it ready for the parser; see `Draft`. Linear in the text, never throws. */
export function scan(text: string): Draft & { readonly end: number } {
  const scanner = new Scanner(new Draft(text));
  const end = scanner.run();
  return Object.assign(scanner.draft, { end });
}

class Scanner {
  private pos = 0;
  private readonly levels: Level[] = [];
  /** The last line left a key or a dash without a value: what follows may be nested. */
  private awaiting = true;
  private started = false;

  constructor(readonly draft: Draft) {}

  /** The offset where what belongs to the document ends. */
  run(): number {
    const { src } = this.draft;
    if (src.startsWith('\ufeff')) this.pos = 1;
    while (this.pos < src.length) {
      const start = this.pos;
      const end = this.draft.lineEnd(start);
      const p = this.draft.skipSpaces(start);
      if (p >= end || src[p] === '#') this.pos = this.draft.nextLine(start);
      else if (p === start && this.atMarker(start)) {
        if (!this.marker(start)) return start;
      } else if (p === start && !this.started && /^%(YAML|TAG)\s/.test(src.slice(p, p + 6))) {
        this.draft.whole = true;
        this.pos = this.draft.nextLine(start);
      } else {
        this.tabs(start, p);
        this.started = true;
        this.pos = this.line(p, p - start);
      }
    }
    return src.length;
  }

  private get top(): Level {
    return this.levels.at(-1) ?? root;
  }

  private atMarker(at: number): boolean {
    return /^(---|\.\.\.)$/.test(this.draft.src.slice(at, at + 3)) && this.draft.isGap(at + 3);
  }

  /** Document marks: the first may start the file; behind any other nothing is read. */
  private marker(at: number): boolean {
    this.draft.whole = true;
    if (!this.started && this.draft.src[at] === '-') {
      this.started = true;
      const rest = this.draft.skipSpaces(at + 3);
      const empty = rest >= this.draft.lineEnd(at) || this.draft.src[rest] === '#';
      this.pos = empty ? this.draft.nextLine(at) : this.value(rest);
      return true;
    }
    const rest = this.draft.src.slice(at + 3);
    if (/^[ \t]*[^\s#]/m.test(rest)) {
      this.draft.report({ start: at, end: at + 3 }, 'A file holds one document: nothing from here on is read.');
      this.draft.broken.push({ start: at, end: this.draft.src.length });
    }
    return false;
  }

  private tabbed = false;
  private tabs(start: number, end: number): void {
    const { draft } = this;
    if (!draft.src.slice(start, end).includes('\t')) return;
    draft.cover(start, ' '.repeat(end - start));
    if (this.tabbed) return;
    this.tabbed = true;
    reportTabs(draft, { start, end });
  }

  /** A line that starts something new: closes what it ends, then reads it. */
  private line(p: number, indent: number): number {
    const { draft } = this;
    if (this.levels.length === 0 && indent > 0 && this.margin(p)) return this.indented(p, indent);
    const dash = draft.isDash(p);
    let closed: Level | undefined;
    while (this.top.indent > indent || (this.top.indent === indent && this.top.list && !dash)) {
      closed = this.levels.pop();
    }
    const { top } = this;
    if (top.indent === indent && dash && !top.list) {
      if (!this.awaiting || closed) return this.stray(p, indent, 'This list entry stands among keys.', false);
    } else if (top.indent !== indent && closed) {
      if (closed.indent === indent) {
        this.levels.push(closed);
        return this.stray(p, indent, 'An entry of this list starts with a dash and a space.', false, [
          { title: 'Put `- ` before it', edits: [{ span: { start: p, end: p }, text: '- ' }], safe: false },
        ]);
      }
      reportColumn(draft, p, indent, closed);
    } else if (top.indent !== indent && !this.awaiting) {
      return this.stray(p, indent, 'This cannot be nested below a line that already has a value.', true);
    }
    if (this.levels.length >= deepest)
      return this.stray(p, indent, `Lines are nested more than ${deepest} deep here.`, true);
    return this.content(p, indent, true);
  }

  /** Whether a later line starts in the first column. */
  private margin(at: number): boolean {
    const later = /^[^\s#]/gm;
    later.lastIndex = this.draft.nextLine(at);
    return later.test(this.draft.src);
  }

  /** Takes out what stands indented above the first key in the first column. */
  private indented(p: number, indent: number): number {
    const span = { start: p - indent, end: p };
    this.draft.forgive(span.start);
    this.tabbed = false;
    const next = this.stray(p, indent, 'The keys of a file start in the first column.', true, [
      { title: 'Move it to the first column', edits: [{ span, text: '' }], safe: false },
    ]);
    this.awaiting = true;
    return next;
  }

  /** Reports a line that cannot stand where it does, and takes it out with all that hangs below it. */
  private stray(
    p: number,
    indent: number,
    message: string,
    siblings: boolean,
    fixes?: Parameters<Draft['report']>[2],
  ): number {
    const { draft } = this;
    const first = draft.lineEnd(p);
    let end = first;
    for (let next = draft.nextLine(p); next < draft.src.length; next = draft.nextLine(next)) {
      const at = draft.skipSpaces(next);
      const lineEnd = draft.lineEnd(next);
      if (at < lineEnd && (siblings ? at - next < indent : at - next <= indent)) break;
      end = lineEnd;
    }
    draft.report({ start: p, end: first }, message, fixes);
    draft.broken.push({ start: p, end });
    draft.blank(p, end);
    if (siblings) this.awaiting = false;
    return draft.nextLine(end);
  }

  private open(indent: number, list: boolean): void {
    if (this.top.indent < indent || (this.top.indent === indent && this.top.list !== list))
      this.levels.push({ indent, list });
  }

  /** Dashes, a key, and what follows them on the line. */
  private content(from: number, column: number, fresh: boolean): number {
    const { draft } = this;
    const { src } = draft;
    let p = from;
    let col = column;
    let lineStart = fresh;
    while (draft.isDash(p) || (src[p] === '?' && draft.isGap(p + 1))) {
      if (this.levels.length >= deepest)
        return this.stray(p, col, `Lines are nested more than ${deepest} deep here.`, false);
      const dash = src[p] === '-';
      if (!dash) draft.whole = true;
      this.open(col, dash);
      const q = draft.skipSpaces(p + 1);
      if (this.nothing(q, col)) return draft.nextLine(q);
      if (draft.isDash(q) && this.restIsEmpty(q + 1) && !this.deeperBelow(q, col)) {
        return this.finish(q, q + 1, 'dash');
      }
      col += q - p;
      p = q;
      lineStart = false;
    }
    const reference = src[p] === '&' ? draft.referenceEnd(p) : undefined;
    const keyStart = reference === undefined ? p : draft.skipSpaces(reference);
    const colon = draft.findColon(keyStart);
    if (/^[^\s:{}[\],"'#]+:[{[]/.test(src.slice(keyStart, Math.min(keyStart + 80, draft.lineEnd(p))))) {
      return this.bareKey(keyStart, col);
    }
    if (colon >= 0) {
      this.open(col, false);
      const key = src[keyStart]!;
      if (leadingSigns.includes(key) && colon > keyStart && draft.referenceEnd(keyStart) === undefined) {
        draft.misread(keyStart, this.draft.trimmed(keyStart, colon), 'leading');
      }
      const q = draft.skipSpaces(colon + 1);
      return this.nothing(q, col) ? draft.nextLine(q) : this.value(q);
    }
    const inMap = lineStart && this.top.indent === col && !this.top.list;
    if (lineStart && (inMap || this.keysBelow(p, col)) && !/[{["'|>&*]/.test(src[p]!)) return this.bareKey(p, col);
    if (inMap) return this.stray(p, col, 'A key is missing here.', false);
    if (reference !== undefined && this.nothing(keyStart, this.top.indent)) return draft.nextLine(keyStart);
    return this.value(keyStart);
  }

  /** Nothing but a comment stands behind a key or dash: its value may come below. */
  private nothing(q: number, indent: number): boolean {
    const { draft } = this;
    const end = draft.lineEnd(q);
    const hash = draft.src[q] === '#';
    if (q < end && !(hash && (!isTextHash(draft.src, q) || this.deeperBelow(q, indent)))) return false;
    this.awaiting = true;
    return true;
  }

  private restIsEmpty(at: number): boolean {
    const p = this.draft.skipSpaces(at);
    return p >= this.draft.lineEnd(at) || this.draft.src[p] === '#';
  }

  /** The first offset behind `at` on a later line with content, and its indent. */
  private below(at: number): { p: number; indent: number } | undefined {
    const { draft } = this;
    for (let next = draft.nextLine(at); next < draft.src.length; next = draft.nextLine(next)) {
      const p = draft.skipSpaces(next);
      if (p < draft.lineEnd(next) && draft.src[p] !== '#') return { p, indent: p - next };
    }
    return undefined;
  }

  private deeperBelow(at: number, indent: number): boolean {
    const below = this.below(at);
    return (
      below !== undefined &&
      (below.indent > indent || (below.indent === indent && this.draft.isDash(below.p) && !this.top.list))
    );
  }

  /** Whether the next line is a key at this column or deeper: then a word here is a key too. */
  private keysBelow(at: number, column: number): boolean {
    const below = this.below(at);
    return below !== undefined && below.indent >= column && this.startsWithKey(below.p);
  }

  /** One word and a colon: a key, and hardly a line of running text. */
  private startsWithKey(p: number): boolean {
    const colon = this.draft.findColon(p);
    return colon >= 0 && !/\s/.test(this.draft.src.slice(p, colon).trim());
  }

  /** A line without a colon and a space where a key belongs. A colon with no space behind it still ends the key. */
  private bareKey(p: number, col: number): number {
    const { draft } = this;
    const end = this.textEnd(p).end;
    this.open(col, false);
    this.awaiting = coverBareKey(draft, p, end);
    return draft.nextLine(p);
  }

  /** A value that starts at `p`, whatever its form. */
  private value(p: number): number {
    const { draft } = this;
    const { indent } = this.top;
    const c = draft.src[p]!;
    this.awaiting = false;
    if (c === '{' || c === '[') {
      const { end, closed } = scanFlow(draft, p, indent);
      return closed ? this.after(end) : draft.nextLine(end);
    }
    if (c === '"' || c === "'") {
      const close = draft.closingQuote(p, indent, '');
      return close >= 0 ? this.after(close + 1) : this.plain(p, 'quote');
    }
    if ((c === '|' || c === '>') && /^[|>][-+1-9]{0,2}[ \t]*(?: #.*)?$/.test(draft.src.slice(p, draft.lineEnd(p)))) {
      return this.block(p, indent);
    }
    if (c === '&' || c === '*') {
      const end = draft.referenceEnd(p);
      if (end === undefined) return this.plain(p, 'leading');
      if (c === '*') return this.after(end);
      const q = draft.skipSpaces(end);
      return this.nothing(q, indent) ? draft.nextLine(q) : this.value(q);
    }
    if (leadingSigns.includes(c) || (c === '?' && draft.isGap(p + 1))) return this.plain(p, 'leading');
    return this.plain(p, draft.isDash(p) ? 'dash' : undefined);
  }

  /** Lines of a block scalar: all that are indented by more than the key they belong to. */
  private block(p: number, indent: number): number {
    const { draft } = this;
    let at = draft.nextLine(p);
    while (at < draft.src.length) {
      let first = at;
      while (draft.src[first] === ' ') first++;
      if (first < draft.lineEnd(at) && first - at <= indent) break;
      at = draft.nextLine(at);
    }
    return at;
  }

  /** Nothing may stand behind a value that has closed. */
  private after(at: number): number {
    const { draft } = this;
    const p = draft.skipSpaces(at);
    const end = draft.lineEnd(at);
    const next = draft.nextLine(at);
    if (p >= end || (draft.src[p] === '#' && p > at)) return next;
    const last = this.draft.trimmed(p, end);
    draft.report({ start: p, end: last }, 'The value before this has already ended.');
    draft.broken.push({ start: p, end: last });
    draft.blank(p, end);
    return next;
  }

  /** Where a plain text on this line ends, and whether a comment or a would-be comment ended it. */
  private textEnd(p: number): { end: number; comment: boolean; hash: boolean; colon: boolean } {
    const { src } = this.draft;
    const line = this.draft.lineEnd(p);
    let hash = false;
    let colon = false;
    let at = p;
    let comment = false;
    for (; at < line; at++) {
      if (src[at] === ':' && this.draft.isGap(at + 1)) colon = true;
      else if (src[at] === '#' && at > p && this.draft.isSpace(at - 1)) {
        if (isTextHash(src, at)) hash = true;
        else {
          comment = true;
          break;
        }
      }
    }
    return { end: this.draft.trimmed(p, at), comment, hash, colon };
  }

  /** A text without quotes, with the deeper lines that go on with it; covered if YAML would not read it as written. */
  private plain(p: number, kind: MisreadKind | undefined): number {
    const { draft } = this;
    const { indent } = this.top;
    let { end, comment, hash, colon } = this.textEnd(p);
    let next = draft.nextLine(p);
    for (let at = next; !comment && at < draft.src.length; at = draft.nextLine(at)) {
      const first = draft.skipSpaces(at);
      if (first >= draft.lineEnd(at)) continue;
      if (draft.src[first] === '#' || first - at <= indent || this.startsWithKey(first)) break;
      if (first === at && this.atMarker(at)) break;
      const more = this.textEnd(first);
      ({ end, comment } = more);
      hash ||= more.hash;
      colon ||= more.colon;
      next = draft.nextLine(at);
    }
    this.awaiting = false;
    const found = kind ?? (colon ? 'colon' : hash ? 'hash' : undefined);
    if (found) draft.misread(p, end, found);
    return next;
  }

  private finish(start: number, end: number, kind: MisreadKind): number {
    this.draft.misread(start, end, kind);
    this.awaiting = false;
    return this.draft.nextLine(start);
  }
}

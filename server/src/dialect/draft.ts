import type { Span } from '../text/span';
import { type Misread, type MisreadKind, meantText, misreadProblem } from './misread';
import type { Problem } from './type';

/** A key that stands on a line without its colon. */
export interface BareKey {
  readonly span: Span;
  readonly text: string;
}

/**
 * A text being made ready for the YAML parser. What YAML would cut, misread or choke on is reported, and covered with
 * as many harmless characters, so that offsets hold and one slip never disturbs the reading of anything else.
 */
export class Draft {
  /** Lone carriage returns are line ends in the protocol and in YAML, but not to the parser. */
  readonly src: string;
  readonly problems: Problem[] = [];
  readonly broken: Span[] = [];
  readonly misreads = new Map<number, Misread>();
  readonly bareKeys = new Map<number, BareKey>();
  /** Something reaches across the pieces a text is cut into: anchors, directives, document marks. */
  whole = false;
  private readonly covers: { start: number; text: string }[] = [];
  private readonly anchors: ReadonlySet<string>;
  private readonly aliases: ReadonlySet<string>;

  constructor(readonly text: string) {
    this.src = text.replace(/\r(?!\n)/g, '\n');
    const named = (sign: string) =>
      new Set([...text.matchAll(new RegExp(`\\${sign}([^\\s,[\\]{}]+)`, 'g'))].map((match) => match[1]!));
    // Only a name that is both given and used is an anchor; any other `&` or `*` is text someone forgot to quote.
    const given = text.includes('&') && text.includes('*');
    this.anchors = given ? named('&') : new Set();
    this.aliases = given ? named('*') : new Set();
  }

  /** Offset of the end of the line that `at` is on, before its line end. */
  lineEnd(at: number): number {
    const feed = this.src.indexOf('\n', at);
    const end = feed < 0 ? this.src.length : feed;
    return end > at && this.src[end - 1] === '\r' ? end - 1 : end;
  }

  /** Offset of the start of the next line. */
  nextLine(at: number): number {
    const feed = this.src.indexOf('\n', at);
    return feed < 0 ? this.src.length : feed + 1;
  }

  isSpace(at: number): boolean {
    const c = this.src[at];
    return c === ' ' || c === '\t';
  }

  /** Whether `at` is a blank, a line end or the end of the text. */
  isGap(at: number): boolean {
    const c = this.src[at];
    return c === undefined || c === ' ' || c === '\t' || c === '\n' || c === '\r';
  }

  skipSpaces(at: number): number {
    let p = at;
    while (this.isSpace(p)) p++;
    return p;
  }

  /** A `-` that starts a list entry. */
  isDash(at: number): boolean {
    return this.src[at] === '-' && this.isGap(at + 1);
  }

  /** The end of an anchor or alias at `at` that has its counterpart in the text; otherwise undefined. */
  referenceEnd(at: number): number | undefined {
    const sign = this.src[at];
    const known = sign === '&' ? this.aliases : sign === '*' ? this.anchors : undefined;
    if (!known || known.size === 0) return undefined;
    const name = /[^\s,[\]{}]+/y;
    name.lastIndex = at + 1;
    const match = name.exec(this.src);
    if (!match || !known.has(match[0]) || (sign === '&' && !this.anchors.has(match[0]))) return undefined;
    this.whole = true;
    return name.lastIndex;
  }

  /**
   * The offset of the quote that closes the one at `at`, or -1. It may stand on a later line as long as the lines
   * between are indented by more than `indent`; after it the value must be over (`ends` lists what else may follow).
   */
  closingQuote(at: number, indent: number, ends: string): number {
    const mark = this.src[at];
    for (let p = at + 1; p < this.src.length; p++) {
      const c = this.src[p];
      if (c === '\n') {
        const start = p + 1;
        const first = this.skipSpaces(start);
        if (first < this.lineEnd(start) && first - start <= indent) return -1;
      } else if (c === '\\' && mark === '"') p++;
      else if (c === mark) {
        if (mark === "'" && this.src[p + 1] === "'") p++;
        else return this.closesValue(p + 1, ends) ? p : -1;
      }
    }
    return -1;
  }

  private closesValue(at: number, ends: string): boolean {
    const p = this.skipSpaces(at);
    const c = this.src[p];
    return c === undefined || c === '\n' || c === '\r' || (c === '#' && p > at) || ends.includes(c);
  }

  /** Covers a stretch with text of the same length. */
  cover(start: number, text: string): void {
    this.covers.push({ start, text });
  }

  /** Takes a stretch out of what the parser sees; line ends stay. */
  blank(start: number, end: number): void {
    this.cover(start, this.src.slice(start, end).replace(/[^\r\n]/g, ' '));
  }

  /** Forgets what was found from an offset on: it lies in a stretch that is being given up. */
  dropFrom(at: number): void {
    for (let i = this.problems.length - 1; i >= 0 && this.problems[i]!.span.start >= at; i--)
      this.problems.splice(i, 1);
    for (const start of [...this.misreads.keys()].reverse()) {
      if (start < at) break;
      this.misreads.delete(start);
    }
    while (this.covers.length > 0 && this.covers.at(-1)!.start >= at) this.covers.pop();
  }

  misread(start: number, end: number, kind: MisreadKind): void {
    const misread = { span: { start, end }, text: meantText(this.text.slice(start, end), kind), kind };
    this.misreads.set(start, misread);
    this.problems.push(misreadProblem(misread));
    this.cover(start, this.src.slice(start, end).replace(/\S/g, 'x'));
  }

  report(span: Span, message: string, fixes?: Problem['fixes']): void {
    this.problems.push({ check: 'syntax', span, message, ...(fixes && { fixes }) });
  }

  /** What the parser gets: as long as the text, but for a tail that was cut off. */
  masked(end: number): string {
    const parts: string[] = [];
    let at = 0;
    for (const { start, text } of this.covers.sort((a, b) => a.start - b.start)) {
      // A blanked block may hold a stretch that was covered before it was seen to be misplaced.
      const skip = Math.max(0, at - start);
      if (skip >= text.length) continue;
      parts.push(this.src.slice(at, start + skip), text.slice(skip));
      at = start + text.length;
    }
    parts.push(this.src.slice(at, end));
    return parts.join('').slice(0, end);
  }
}

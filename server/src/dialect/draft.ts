import type { Span } from '../text/span';
import { type Misread, type MisreadKind, meantText, misreadProblem } from './misread';
import { Source } from './source';
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
export class Draft extends Source {
  readonly problems: Problem[] = [];
  readonly broken: Span[] = [];
  readonly misreads = new Map<number, Misread>();
  readonly bareKeys = new Map<number, BareKey>();
  /** Something reaches across the pieces a text is cut into: anchors, directives, document marks. */
  whole = false;
  private readonly covers: { start: number; text: string }[] = [];
  /** Names both given with `&` and used with `*`. Any other `&` or `*` is text someone forgot to quote. */
  private readonly repeats: ReadonlySet<string>;

  constructor(text: string) {
    super(text);
    const names = (pattern: RegExp) => new Set([...text.matchAll(pattern)].map((match) => match[1]!));
    const given = text.includes('*') ? names(/&([^\s,[\]{}]+)/g) : new Set<string>();
    const used = given.size > 0 ? names(/\*([^\s,[\]{}]+)/g) : given;
    this.repeats = new Set([...given].filter((name) => used.has(name)));
  }

  /** The end of the name of a repeat at `at`; undefined where the sign there is text. */
  referenceEnd(at: number): number | undefined {
    const sign = this.src[at];
    if ((sign !== '&' && sign !== '*') || this.repeats.size === 0) return undefined;
    const name = /[^\s,[\]{}]+/y;
    name.lastIndex = at + 1;
    const match = name.exec(this.src);
    if (!match) return undefined;
    // Where values are repeated at all, a name before a list or map is one, used or not.
    const named = sign === '&' && /^[ \t]*[[{\r\n]/.test(this.src.slice(name.lastIndex, name.lastIndex + 20));
    if (!named && !this.repeats.has(match[0])) return undefined;
    this.whole = true;
    return name.lastIndex;
  }

  /** Covers a stretch with text of the same length. */
  cover(start: number, text: string): void {
    this.covers.push({ start, text });
  }

  /** Takes a stretch out of what the parser sees; line ends stay. */
  blank(start: number, end: number): void {
    this.cover(start, this.src.slice(start, end).replace(/[^\r\n]/g, ' '));
  }

  /** Takes back the problems found from an offset on. */
  forgive(at: number): void {
    while (this.problems.length > 0 && this.problems.at(-1)!.span.start >= at) this.problems.pop();
  }

  /** Takes back what was covered from an offset on. */
  uncover(at: number): void {
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

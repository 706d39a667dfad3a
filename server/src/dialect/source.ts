/** A text with what it takes to find one's way in it by lines, blanks, dashes, quotes and colons. Offsets throughout. */
export class Source {
  /** Lone carriage returns are line ends in the protocol and in YAML, but not to the parser. */
  readonly src: string;

  constructor(readonly text: string) {
    this.src = text.replace(/\r(?!\n)/g, '\n');
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

  /** The offset of the colon that ends a key at `p`, or -1. */
  findColon(p: number): number {
    const { src } = this;
    const end = this.lineEnd(p);
    if (src[p] === '{' || src[p] === '[') return -1;
    if (src[p] === '"' || src[p] === "'") {
      const close = this.closingQuote(p, Number.POSITIVE_INFINITY, ':');
      if (close < 0) return -1;
      const colon = this.skipSpaces(close + 1);
      return src[colon] === ':' && this.isGap(colon + 1) ? colon : -1;
    }
    for (let at = p; at < end; at++) {
      if (src[at] === ':' && this.isGap(at + 1)) return at;
      if (src[at] === '#' && at > p && this.isSpace(at - 1)) return -1;
    }
    return -1;
  }

  /** `end` without the blanks before it. */
  trimmed(start: number, end: number): number {
    let at = end;
    while (at > start && this.isGap(at - 1)) at--;
    return at;
  }

  /** The offset of the quote that closes the one at `at` on the same line, or the end of the line. */
  quoteOnLine(at: number): number {
    const mark = this.src[at];
    const end = this.lineEnd(at);
    for (let p = at + 1; p < end; p++) {
      if (this.src[p] === '\\' && mark === '"') p++;
      else if (this.src[p] === mark) return p;
    }
    return end;
  }

  /** A key or word without the quotes around it. */
  unquoted(start: number, end: number): string {
    const text = this.src.slice(start, end).trim();
    return text.length > 1 && /^(["']).*\1$/s.test(text) ? text.slice(1, -1) : text;
  }
}

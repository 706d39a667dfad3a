import type { Span } from './span';

/** A place as an editor counts it: lines and UTF-16 characters from 0. */
export interface Position {
  readonly line: number;
  readonly character: number;
}

export interface Range {
  readonly start: Position;
  readonly end: Position;
}

/** The one thing that knows lines: turns offsets into positions and back. Line ends are LF, CRLF and lone CR, as in the protocol. */
export class Lines {
  private readonly starts: number[] = [0];

  constructor(private readonly text: string) {
    for (let i = 0; i < text.length; i++) {
      const code = text.charCodeAt(i);
      if (code === 10 || (code === 13 && text.charCodeAt(i + 1) !== 10)) this.starts.push(i + 1);
    }
  }

  get count(): number {
    return this.starts.length;
  }

  /** The position of an offset; offsets outside the text are pulled to its ends. */
  position(offset: number): Position {
    const at = Math.max(0, Math.min(offset, this.text.length));
    let low = 0;
    let high = this.starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.starts[middle]! <= at) low = middle;
      else high = middle - 1;
    }
    return { line: low, character: at - this.starts[low]! };
  }

  /** The offset of a position; one past a line's end is pulled back to it. */
  offset(position: Position): number {
    if (position.line < 0) return 0;
    const start = this.starts[position.line];
    if (start === undefined) return this.text.length;
    return Math.min(start + Math.max(0, position.character), start + this.line(position.line).length);
  }

  range(span: Span): Range {
    return { start: this.position(span.start), end: this.position(span.end) };
  }

  span(range: Range): Span {
    return { start: this.offset(range.start), end: this.offset(range.end) };
  }

  /** The text of a line without its line end; empty where there is no such line. */
  line(number: number): string {
    const start = this.starts[number];
    if (start === undefined) return '';
    return this.text.slice(start, this.starts[number + 1] ?? this.text.length).replace(/[\r\n]+$/, '');
  }
}

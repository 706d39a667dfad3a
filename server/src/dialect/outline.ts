import { outlineFlow } from './outline-flow';
import { Source } from './source';
import type { Path } from './step';

/** A name that stands in a map or list, and where it starts. */
export interface Used {
  readonly name: string;
  readonly start: number;
}

/** What an offset is in, by indentation and brackets alone. */
export interface Spot {
  /**
   * `key`: of the map at the path. `value`: of the key the path ends in. `entry`: that, or the first key of a map there. `below`: on a line of
   * its own under the key the path ends in.
   */
  readonly kind: 'key' | 'value' | 'entry' | 'below';
  readonly path: Path;
  /** The key or text at the offset; where there is none, both are the offset. */
  readonly start: number;
  readonly end: number;
  /** What the map or list around it holds. */
  used: readonly Used[];
  readonly flow: boolean;
  readonly quote?: string;
  readonly lead: '' | ' ' | '- ';
}

/** A list or map that is open at the line being read. */
interface Frame {
  readonly indent: number;
  readonly list: boolean;
  /** Undefined where it hangs below nothing. */
  readonly path: Path | undefined;
  readonly used: Used[];
  index: number;
  /** The key or entry that was left without a value. */
  awaiting?: Path | undefined;
}

/** The spot an offset is in; undefined where there is none, as in a comment. Linear in the text. */
export function spotAt(text: string, offset: number): Spot | undefined {
  return new Outline(text, offset).run();
}

/**
 * Reads a text line by line, more forgiving than the parser: a line is taken for what it starts out to be. It goes on behind the offset, for
 * the keys that follow there.
 */
class Outline {
  private readonly source: Source;
  private readonly frames: Frame[] = [];
  /** Null once it is known that there is none. */
  private spot: Spot | null | undefined;

  constructor(
    text: string,
    private readonly offset: number,
  ) {
    this.source = new Source(text);
  }

  run(): Spot | undefined {
    const { src } = this.source;
    let at = src.startsWith('\ufeff') ? 1 : 0;
    while (at < src.length) at = this.line(at);
    // A text that ends in a line end has one more line, with nothing on it.
    if (src === '' || src.endsWith('\n')) this.line(src.length);
    return this.spot ?? undefined;
  }

  private here(start: number, end: number): boolean {
    return this.spot === undefined && start <= this.offset && this.offset <= end;
  }

  private put(spot: Omit<Spot, 'path' | 'flow'> & { readonly path: Path | undefined; readonly flow?: boolean }): void {
    const { path } = spot;
    if (this.spot === undefined) this.spot = path ? { flow: false, ...spot, path } : null;
  }

  /** Puts a spot where nothing stands yet. */
  private putEmpty(kind: Spot['kind'], path: Path | undefined, lead: Spot['lead'], used: readonly Used[] = []): void {
    this.put({ kind, path, start: this.offset, end: this.offset, used, lead });
  }

  /** Reads the line at `start`; returns where the next one starts that was not read with it. */
  private line(start: number): number {
    const { source } = this;
    const end = source.lineEnd(start);
    const p = source.skipSpaces(start);
    const comment = p < end && source.src[p] === '#';
    if (p >= end || comment) {
      if (this.here(start, end)) {
        if (comment && this.offset > p) this.spot = null;
        else this.blank(this.offset - start);
      }
      return source.nextLine(start);
    }
    if (this.here(start, p - 1)) this.spot = null;
    const indent = p - start;
    const dash = source.isDash(p);
    let popped = false;
    while (this.top && (this.top.indent > indent || (this.top.indent === indent && this.top.list && !dash))) {
      this.frames.pop();
      popped = true;
    }
    const { top } = this;
    const path = top ? (popped ? undefined : top.awaiting) : [];
    return this.content(p, indent, path);
  }

  private get top(): Frame | undefined {
    return this.frames.at(-1);
  }

  private open(indent: number, list: boolean, path: Path | undefined): Frame {
    const { top } = this;
    if (top?.indent === indent && top.list === list) return top;
    const frame: Frame = { indent, list, path, used: [], index: -1 };
    // The cursor was on an empty line above: this is the map it belongs to.
    if (this.spot && !list && this.spot.kind !== 'key' && String(this.spot.path) === String(path))
      this.spot.used = frame.used;
    this.frames.push(frame);
    return frame;
  }

  /** Dashes, a key, and what follows them on the line. */
  private content(from: number, column: number, above: Path | undefined): number {
    const { source } = this;
    const { src } = source;
    let [p, col, path] = [from, column, above];
    while (source.isDash(p)) {
      const frame = this.open(col, true, path);
      const item = frame.path && [...frame.path, ++frame.index];
      const q = source.skipSpaces(p + 1);
      const empty = q >= source.lineEnd(p) || src[q] === '#';
      if (this.here(p + 1, empty ? q : q - 1)) this.putEmpty('entry', item, this.offset === p + 1 ? ' ' : '');
      frame.awaiting = empty ? item : undefined;
      if (empty) {
        if (this.here(q, source.lineEnd(p))) this.spot = null;
        return source.nextLine(p);
      }
      [p, col, path] = [q, col + q - p, item];
    }
    if (src[p] === '{' || src[p] === '[') return this.flow(p, path);
    const colon = source.findColon(p);
    const inMap = p === from && this.top?.indent === col && !this.top.list;
    if (colon < 0 && !inMap) return this.scalar('entry', p, p, path);

    const frame = this.open(col, false, path);
    const keyEnd = colon < 0 ? this.textEnd(p) : colon;
    const end = source.trimmed(p, keyEnd);
    const name = source.unquoted(p, end);
    if (this.here(p, keyEnd)) this.put({ kind: 'key', path: frame.path, start: p, end, used: frame.used, lead: '' });
    frame.used.push({ name, start: p });
    const value = frame.path && [...frame.path, name];
    frame.awaiting = value;
    if (colon < 0) return source.nextLine(p);
    const q = source.skipSpaces(colon + 1);
    if (q >= source.lineEnd(p) || src[q] === '#') {
      if (this.here(colon + 1, q)) this.putEmpty('value', value, this.offset === colon + 1 ? ' ' : '');
      else if (this.here(q, source.lineEnd(p))) this.spot = null;
      return source.nextLine(p);
    }
    frame.awaiting = undefined;
    return this.scalar('value', q, colon + 1, value);
  }

  /** A value on the line of its key or dash, from `p` on; the cursor is on it from `min` on. */
  private scalar(kind: 'value' | 'entry', p: number, min: number, path: Path | undefined): number {
    const { source, offset } = this;
    const { src } = source;
    const line = source.lineEnd(p);
    const c = src[p]!;
    if (this.here(min, p - 1)) this.putEmpty(kind, path, offset === min ? ' ' : '');
    if (c === '{' || c === '[') return this.flow(p, path);
    if (/^[|>][-+1-9]{0,2}[ \t]*(?: #.*)?$/.test(src.slice(p, line))) return this.literal(p);
    if (c === '"' || c === "'") {
      const end = source.quoteOnLine(p);
      if (this.here(p + 1, end)) this.put({ kind, path, start: p + 1, end, used: [], quote: c, lead: '' });
    } else {
      const end = this.textEnd(p);
      const comment = source.skipSpaces(end) < line;
      if (this.here(p, comment ? end + 1 : line)) {
        this.put({ kind, path, start: p, end: Math.max(end, offset), used: [], lead: '' });
      }
    }
    if (this.here(p, line)) this.spot = null;
    return source.nextLine(p);
  }

  /** Where a text on this line ends: before a comment, or the blanks at the end. */
  private textEnd(p: number): number {
    const line = this.source.lineEnd(p);
    const match = /[ \t]+#.*$|[ \t]+$/.exec(this.source.src.slice(p, line));
    return match ? p + match.index : line;
  }

  /** Lines of a block scalar. */
  private literal(p: number): number {
    const { source } = this;
    const indent = this.top?.indent ?? -1;
    let at = source.nextLine(p);
    for (; at < source.src.length; at = source.nextLine(at)) {
      const [first, end] = [source.skipSpaces(at), source.lineEnd(at)];
      if (first < end && first - at <= indent) break;
      if (!this.here(at, end)) continue;
      // On an empty line the column of the cursor tells whether the text goes on.
      if (first < end || this.offset - at > indent) this.spot = null;
      else this.blank(this.offset - at);
    }
    return at;
  }

  private flow(p: number, path: Path | undefined): number {
    const indent = this.top?.indent ?? -1;
    const { next, spot } = outlineFlow(this.source, p, path ?? [], indent, this.offset);
    if (this.spot === undefined && spot !== undefined) this.spot = path ? spot : null;
    return next;
  }

  /** On a line with nothing on it: its column says which map or list goes on, or starts. */
  private blank(column: number): void {
    const frames = this.frames.filter((frame) => frame.indent <= column);
    const map = frames.findLast((frame) => !frame.list && frame.indent === column);
    const frame = map ?? frames.at(-1);
    if (!frame) this.putEmpty('below', [], '');
    else if (map) this.putEmpty('key', map.path, '', map.used);
    else if (frame.indent === column) this.putEmpty('entry', frame.path && [...frame.path, frame.index + 1], '- ');
    else if (frame === this.top && frame.awaiting) this.putEmpty('below', frame.awaiting, '');
    else this.spot = null;
  }
}

import type { Spot, Used } from './outline';
import type { Source } from './source';
import type { Path } from './step';

/** A bracket that is open at the sign being read. */
interface Open {
  readonly map: boolean;
  readonly path: Path;
  readonly used: Used[];
  index: number;
  /** The key whose value is being read. */
  key?: string | undefined;
  /** Where the key or text being read starts; -1 before it. */
  start: number;
  /** The value being read is a list or map that has closed. */
  full: boolean;
}

/** Where the entry being read is. */
const place = ({ map, path, index, key }: Open): Path => [
  ...path,
  ...(map ? [] : [index]),
  ...(key === undefined ? [] : [key]),
];

/**
 * Reads the brackets that open at `from`, over as many lines as they go on; a line no further in than `indent` ends them, closed or not.
 * Returns where the next line to read starts and the spot of the offset: null where it is inside and nothing is wanted, undefined outside.
 */
export function outlineFlow(
  source: Source,
  from: number,
  path: Path,
  indent: number,
  offset: number,
): { next: number; spot: Spot | null | undefined } {
  const { src } = source;
  const open: Open[] = [];
  let spot: Spot | null | undefined;
  let line = source.lineEnd(from);
  const rule = (start: number, end: number) => {
    if (spot === undefined && start <= offset && offset <= end) spot = null;
  };
  let p = from;
  while (true) {
    const top = open.at(-1);
    if (p === offset && top && spot === undefined) spot = spotIn(source, top, offset, line);
    if (p >= line) {
      const next = source.nextLine(line);
      const end = source.lineEnd(next);
      if (next >= src.length || ends(source, next, end, indent, open.length === 1, offset)) return { next, spot };
      [p, line] = [next, end];
      continue;
    }
    const c = src[p]!;
    if (c === '#' && source.isGap(p - 1)) {
      rule(p + 1, line);
      p = line;
    } else if (c === '"' || c === "'") {
      const end = source.quoteOnLine(p);
      if (top && spot === undefined && p < offset && offset <= end) {
        spot = { ...spotIn(source, { ...top, start: p + 1 }, offset, line)!, used: top.used, end, quote: c };
      }
      if (top && top.start < 0) top.start = p;
      p = Math.min(end + 1, line);
    } else if (c === '{' || c === '[') {
      const inner = top ? place(top) : path;
      if (top) top.full = true;
      open.push({ map: c === '{', path: inner, used: [], index: 0, start: -1, full: false });
      p++;
    } else if (c === '}' || c === ']') {
      keepWord(source, top!, p);
      open.pop();
      p++;
      if (open.length > 0) continue;
      rule(p, line);
      return { next: source.nextLine(p), spot };
    } else if (c === ',') {
      keepWord(source, top!, p);
      Object.assign(top!, { key: undefined, start: -1, full: false, index: top!.index + 1 });
      p++;
    } else if (
      c === ':' &&
      top!.key === undefined &&
      top!.start >= 0 &&
      (source.isGap(p + 1) || ',]}'.includes(src[p + 1]!))
    ) {
      top!.key = source.unquoted(top!.start, p);
      if (top!.map) top!.used.push({ name: top!.key, start: top!.start });
      top!.start = -1;
      p++;
    } else {
      if (top!.start < 0 && !source.isSpace(p)) top!.start = p;
      p++;
    }
  }
}

/** Whether a line is no longer inside the brackets. On a line with nothing on it the cursor tells. */
function ends(source: Source, start: number, end: number, indent: number, last: boolean, offset: number): boolean {
  const first = source.skipSpaces(start);
  const column = first - start;
  if (first >= end || source.src[first] === '#') return start <= offset && offset <= end && offset - start <= indent;
  const closing = last && column === indent && /[\]}]/.test(source.src[first]!);
  return column <= indent && !closing;
}

/** Remembers a word of a list in brackets. */
function keepWord(source: Source, { map, key, start, used }: Open, end: number): void {
  if (!map && key === undefined && start >= 0) used.push({ name: source.unquoted(start, end), start });
}

function spotIn(source: Source, top: Open, offset: number, line: number): Spot | null {
  if (top.full) return null;
  const isKey = top.map && top.key === undefined;
  const rest = source.src.slice(offset, line);
  const stop = (isKey ? /[,{}[\]]|\s#|:(?=[\s,\]}]|$)/ : /[,{}[\]]|\s#/).exec(rest);
  const after = rest.slice(0, stop ? stop.index : undefined).trimEnd();
  const nothing = top.start < 0 && /^\s/.test(after);
  return {
    kind: isKey ? 'key' : top.key === undefined ? 'entry' : 'value',
    path: place(top),
    start: top.start < 0 ? offset : top.start,
    end: nothing ? offset : offset + after.length,
    used: top.used,
    flow: true,
    lead: top.key !== undefined && source.src[offset - 1] === ':' ? ' ' : '',
  };
}

import { inferPin } from '../../board/pin-roles';
import type { Edit } from '../../text/finding';
import type { Span } from '../../text/span';
import type { Action } from '../actions';
import type { PinoutAnalysis } from '../analysis';
import { scalar } from '../complete/item';
import { breakOf } from './nodes';
import { isEntry, type PinRow, pinRows } from './pin-rows';

interface Line {
  readonly start: number;
  /** Before its line break. */
  readonly end: number;
  readonly text: string;
}

/**
 * Lines pasted from a data sheet's pin table become pins. Going by lines alone: what was pasted does not parse. What cannot be read as a row
 * stays, as a comment; so does what a row says beside the name. No role is written: those that names tell are read from them, the others are told.
 */
export function pinTable({ text, uri }: PinoutAnalysis, selection: Span): Action[] {
  const lines = linesOf(text);
  const [from, to] = pasted(lines, selection);
  const taken = lines.slice(from, to);
  const rows = pinRows(taken.map((line) => line.text));
  const found = rows.filter((row) => row !== undefined);
  if (taken.some((line) => isHead(line.text))) return [];
  const home = homeOf(lines, from, to);
  if (!home || found.length === 0 || (found.length === 1 && home.kind !== 'here')) return [];
  const known = new Set(home.keys);
  const written = taken.flatMap((line, at) => entryLines(line.text, rows[at], known, home.indent));
  const end = breakOf(text);
  const span = { start: taken[0]!.start, end: taken.at(-1)!.end };
  const put = (lead: readonly string[]) => [...lead, ...written].join(end);
  const edits: Edit[] =
    home.kind === 'below'
      ? [
          { file: uri, span: { start: home.at, end: home.at }, text: end + put([]) },
          { file: uri, span: withBreak(text, span), text: '' },
        ]
      : [{ file: uri, span, text: put(home.kind === 'new' ? ['pins:'] : []) }];
  const open = found.filter((row) => inferPin(row.name).role === undefined).map((row) => row.name);
  return [{ title: title(found, open), kind: 'quickfix', safe: false, edits }];
}

function title(rows: readonly PinRow[], open: readonly string[]): string {
  const count = rows.reduce((sum, row) => sum + row.pins.length, 0);
  const pins = count === 1 ? 'Make this line a pin' : `Make these lines ${count} pins`;
  if (open.length === 0) return pins;
  const more = open.length > 3 ? ` and ${open.length - 3} more` : '';
  return `${pins}; no role follows from ${open.slice(0, 3).join(', ')}${more}`;
}

/** A row as entries of the map; a line that is none, or a pin that is there already, as a comment. */
function entryLines(line: string, row: PinRow | undefined, known: Set<string>, indent: string): string[] {
  if (!row) return /^\s*(#|$)/.test(line) || isEntry(line) ? [line] : [`${indent}# ${line.trim()}`];
  const flow = row.alternates.length > 0;
  const [name, ...others] = [row.name, ...row.alternates].map((one) => scalar(one, { flow }));
  const value = flow ? `{name: ${name}, alternates: [${others.join(', ')}]}` : name;
  const said = row.rest === '' ? '' : `  # ${row.rest}`;
  return row.pins.map((pin) => {
    const entry = `${pin}: ${value}${said}`;
    if (known.has(pin)) return `${indent}# ${entry} (pin ${pin} is there already)`;
    known.add(pin);
    return indent + entry;
  });
}

/** The lines meant: those selected, else the unbroken run of lines around the cursor that are nothing of the file yet. */
function pasted(lines: readonly Line[], selection: Span): [from: number, to: number] {
  const at = (offset: number) =>
    Math.max(
      0,
      lines.findLastIndex((line) => line.start <= offset),
    );
  let [from, to] = [at(selection.start), at(selection.end) + 1];
  const foreign = (line: Line | undefined) =>
    line !== undefined && !/^\s*(#|- |$)/.test(line.text) && !isEntry(line.text);
  if (selection.end > selection.start) {
    if (lines[to - 1]!.start === selection.end) to--;
    while (from < to && !foreign(lines[from])) from++;
    while (to > from && !foreign(lines[to - 1])) to--;
  } else if (foreign(lines[from])) {
    while (foreign(lines[from - 1])) from--;
    while (foreign(lines[to])) to++;
  } else to = from;
  return [from, to];
}

/** A key of the file itself. */
const isHead = (line: string): boolean => /^[^\s#:][^:]*:(\s|$)/.test(line) && !/^\d/.test(line);

interface Home {
  /** These lines are among the pins, there are no pins yet, or the pins are elsewhere in the file and end at `at`. */
  readonly kind: 'here' | 'new' | 'below';
  readonly indent: string;
  readonly at: number;
  /** Pins that are there already. */
  readonly keys: readonly string[];
}

/** Where pins go; undefined where theirs is a map in brackets. */
function homeOf(lines: readonly Line[], from: number, to: number): Home | undefined {
  const others = lines.filter((_, at) => at < from || to <= at);
  const heads = others.filter((line) => isHead(line.text));
  const head = heads.findIndex((line) => /^["']?pins["']?:/.test(line.text));
  const pins = heads[head];
  if (!pins) return { kind: 'new', indent: '  ', at: 0, keys: [] };
  if (!/^\S+:\s*(#.*)?$/.test(pins.text)) return undefined;
  const end = heads[head + 1]?.start ?? Number.POSITIVE_INFINITY;
  const own = others.filter((line) => pins.start <= line.start && line.start < end);
  const entries = own.flatMap((line) => {
    const match = /^([ \t]+)["']?(\d+|[A-Z]{1,2}\d+|EP|PAD|0)["']?:([ \t]|$)/i.exec(line.text);
    return match ? [{ indent: match[1]!, key: match[2]!.toUpperCase().replace(/^(PAD|0)$/, 'EP') }] : [];
  });
  const indent = entries[0]?.indent ?? '  ';
  const keys = entries.filter((entry) => entry.indent === indent).map((entry) => entry.key);
  const here = pins.start < lines[from]!.start && lines[from]!.start < end;
  const last = own.findLast((line) => line.text.trim() !== '') ?? pins;
  return { kind: here ? 'here' : 'below', indent, at: last.end, keys };
}

function linesOf(text: string): Line[] {
  let start = 0;
  return text.split(/\r\n|\n|\r/).map((line) => {
    const at = start;
    const end = at + line.length;
    start = end + (text.startsWith('\r\n', end) ? 2 : 1);
    return { start: at, end, text: line };
  });
}

/** A span of whole lines with the break behind it, or the one before it at the end of the text. */
function withBreak(text: string, { start, end }: Span): Span {
  const after = /^(\r\n|\n|\r)/.exec(text.slice(end, end + 2))?.[0].length ?? 0;
  const before = after > 0 ? 0 : (/(\r\n|\n|\r)$/.exec(text.slice(Math.max(0, start - 2), start))?.[0].length ?? 0);
  return { start: start - before, end: end + after };
}

import { type Decimal, isNumber, isNumeric, toNumber, whyNot } from './csv-numbers';
import { type ColumnUnit, metaNumber, nameAndUnit, unitOf } from './csv-units';

/** Where the numbers of a CSV file are and what they mean. */
export interface CsvLayout {
  readonly delimiter: ';' | '\t' | ',' | '|' | ' ';
  readonly decimal: Decimal;
  /** Byte of the first row of numbers. */
  readonly dataFrom: number;
  readonly values: readonly CsvColumn[];
  /** The time column and its factor to seconds. */
  readonly time: { readonly cell: number; readonly factor: number } | null;
  /** Seconds from row to row as the header states it. */
  readonly increment: number | null;
}

/** A column of values: which cell of a row, what it is called, its unit and the factor to it. */
export interface CsvColumn {
  readonly cell: number;
  readonly name: string;
  readonly unit: 'V' | 'A' | null;
  readonly factor: number;
}

/** One line of the file's head. */
interface Line {
  readonly from: number;
  readonly text: string;
}

/** As of a WAV file: no bench recorder has more channels. */
const mostColumns = 64;

/** Rows at the end of the head by which columns are told from text. */
const judged = 200;

/** Lines of a file's first bytes, with where each begins; the last is left out unless the head is the whole file. */
export function linesOf(head: Uint8Array, whole: boolean): Line[] {
  const bom = head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf ? 3 : 0;
  const lines: Line[] = [];
  let from = bom;
  for (let i = bom; i <= head.length; i++) {
    const end = i === head.length;
    if (!end && head[i] !== 10 && head[i] !== 13) continue;
    if (end && (!whole || from === i)) break;
    lines.push({ from, text: decode(head.subarray(from, i)) });
    from = i + 1;
  }
  return lines;
}

/** UTF-8, or Latin-1 where it is not: old instruments write µ as one byte. */
function decode(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return Array.from(bytes, (byte) => String.fromCharCode(byte)).join('');
  }
}

/** The cells of a line, trimmed and unquoted. */
export function cellsOf(line: string, delimiter: CsvLayout['delimiter']): string[] {
  if (delimiter === ' ') return line.trim().split(/[\t ]+/);
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (const char of line) {
    if (char === '"') quoted = !quoted;
    else if (char === delimiter && !quoted) {
      cells.push(cell.trim());
      cell = '';
    } else cell += char;
  }
  cells.push(cell.trim());
  return cells;
}

interface Guess {
  readonly delimiter: CsvLayout['delimiter'];
  readonly decimal: CsvLayout['decimal'];
  /** Cells that hold numbers, and how many others hold text, in the rows judged. */
  readonly columns: readonly number[];
  readonly foreign: number;
}

function guess(lines: readonly string[], delimiter: Guess['delimiter'], decimal: Guess['decimal']): Guess {
  const rows = lines.map((line) => cellsOf(line, delimiter));
  const width = Math.max(...rows.map((row) => row.length));
  const columns: number[] = [];
  let foreign = 0;
  for (let cell = 0; cell < width; cell++) {
    const numbers = rows.some((row) => isNumber(row[cell] ?? '', decimal))
      ? rows.filter((row) => isNumeric(row[cell] ?? '', decimal)).length
      : 0;
    const empty = rows.filter((row) => (row[cell] ?? '') === '').length;
    if (numbers >= 0.9 * rows.length) columns.push(cell);
    else if (empty < 0.5 * rows.length) foreign++;
  }
  return { delimiter, decimal, columns, foreign };
}

/** The reading with the least text left over, then the most columns, then the commonest delimiter. */
function bestGuess(lines: readonly string[]): Guess {
  const delimiters = [';', '\t', ',', '|', ' '] as const;
  const all = (['.', ','] as const).flatMap((decimal) => delimiters.map((d) => guess(lines, d, decimal)));
  return all
    .filter(
      ({ delimiter, decimal }) => delimiter !== ',' || decimal !== ',' || lines.some((line) => line.includes('"')),
    )
    .filter(
      // Blanks part words too: beside text they are no delimiter.
      ({ delimiter, foreign }) => delimiter !== ' ' || foreign === 0,
    )
    .reduce((best, next) => {
      if (next.columns.length === 0) return best;
      if (best.columns.length === 0 || next.foreign < best.foreign) return next;
      return next.foreign === best.foreign && next.columns.length > best.columns.length ? next : best;
    });
}

/**
 * Finds out how a CSV file is laid out from its head: delimiter, decimal mark, where the numbers begin, names and units above
 * them or beside them, which column is time. Answers in words what cannot be read.
 */
export function layoutOf(head: Uint8Array, whole: boolean): CsvLayout | { readonly error: string } {
  if (head.includes(0)) return { error: 'not a CSV file: it holds binary data' };
  const lines = linesOf(head, whole).filter(({ text }) => text.trim() !== '');
  if (lines.length === 0) return { error: whole ? 'the file is empty' : 'not a CSV file: it has no lines' };
  const tail = lines.slice(-Math.min(judged, Math.ceil(lines.length / 2))).map(({ text }) => text);
  const { delimiter, decimal, columns } = bestGuess(tail);
  if (columns.length === 0) return { error: `no columns of numbers are found in the file${whyNot(tail)}` };
  const rows = lines.map(({ text }) => cellsOf(text, delimiter));
  const full = (row: readonly string[] | undefined) => columns.every((cell) => isNumeric(row?.[cell] ?? '', decimal));
  const first = rows.findIndex((row, i) => full(row) && (i + 1 === rows.length || full(rows[i + 1])));
  if (first < 0) return { error: 'no rows of numbers are found in the file' };
  const header = headerOf(rows, first, columns, decimal);
  const meta = metaOf(rows.slice(0, Math.max(first + 40, 60)), first, columns);
  const data = rows.slice(first, first + judged).map((row) => columns.map((cell) => toNumber(row[cell]!, decimal)));
  const time = timeOf(header, data);
  const index = time === null ? indexOf(header, data) : -1;
  const values = columns
    .map((cell, i) => ({ cell, i }))
    .filter(({ i }) => i !== time?.column && i !== index)
    .map(({ cell, i }, k, kept) => columnOf(cell, header[i]!, kept.length === 1 ? meta : null, `${k + 1}`));
  if (values.length === 0) return { error: `the file holds a time column and no values${whyNot(tail)}` };
  if (values.length > mostColumns)
    return { error: `the file has ${values.length} columns of values: more than ${mostColumns} are not read` };
  return {
    delimiter,
    decimal,
    dataFrom: lines[first]!.from,
    values: distinct(values),
    time: time && { cell: columns[time.column]!, factor: time.factor ?? meta.timeFactor ?? 1 },
    increment: meta.increment,
  };
}

interface Heading {
  readonly name: string;
  readonly unit: ColumnUnit | null;
}

/** Name and unit of each column from the rows right above the numbers: names, names and units, or nothing. */
function headerOf(rows: readonly string[][], first: number, columns: readonly number[], decimal: Decimal): Heading[] {
  const above = (row: readonly string[] | undefined) => {
    const cells = columns.map((cell) => (row?.[cell] ?? '').replace(/^[#%]\s*/, ''));
    return cells.some((text) => text !== '') && !cells.some((text) => isNumber(text, decimal)) ? cells : null;
  };
  const last = above(rows[first - 1]);
  if (last === null) return columns.map(() => ({ name: '', unit: null }));
  const units = last.map((text) => (text === '' ? null : unitOf(text)));
  const onlyUnits = last.every((text, i) => text === '' || units[i] !== null);
  const names = onlyUnits ? above(rows[first - 2]) : last;
  if (names === null) return last.map((_, i) => ({ name: '', unit: units[i]! }));
  return names.map((text, i) => {
    const { name, unit } = nameAndUnit(text);
    return { name: name || text, unit: onlyUnits ? units[i]! : unit };
  });
}

interface Meta {
  readonly increment: number | null;
  readonly timeFactor: number | null;
  readonly unit: ColumnUnit | null;
  readonly source: string | null;
}

/** Keys and values above or beside the numbers: the sampling interval or rate, units, the source of a single channel. */
function metaOf(rows: readonly string[][], first: number, columns: readonly number[]): Meta {
  const found = { increment: null as number | null, horizontal: '', vertical: '', source: null as string | null };
  rows.forEach((row, r) => {
    row.forEach((text, cell) => {
      if (r >= first && columns.includes(cell)) return;
      const inside = /^([^:=,;\t]+)[:=,;\t](.+)$/.exec(text);
      const key = (inside ? inside[1]! : text).trim().toLowerCase();
      const beside = inside ? inside[2]! : (row.slice(cell + 1).find((next) => next !== '') ?? '');
      const below = r + 1 <= first ? (rows[r + 1]?.[cell] ?? '') : '';
      const number = metaNumber(beside) ?? metaNumber(below);
      if (number !== null && number > 0) {
        if (
          /^(x[\s_]?)?(sampl(e|ing)[\s_]*(interval|period|time)|increment|x?inc(r)?|delta[\s_]?[xt]|dt|tinc)\b/.test(
            key,
          )
        )
          found.increment ??= number;
        else if (/^sampl(e|ing)[\s_]*(rate|freq(uency)?)\b/.test(key)) found.increment ??= 1 / number;
      }
      if (/^horizontal units?$/.test(key)) found.horizontal = beside;
      if (/^vertical units?$/.test(key)) found.vertical = beside;
      if (key === 'source') found.source = beside || null;
    });
  });
  const horizontal = unitOf(found.horizontal);
  return {
    increment: found.increment,
    timeFactor: horizontal?.kind === 'time' ? horizontal.factor : null,
    unit: unitOf(found.vertical),
    source: found.source,
  };
}

/** Which column is time: one that says so, else a first column without another meaning that only ever climbs. */
function timeOf(
  header: readonly Heading[],
  data: readonly number[][],
): { column: number; factor: number | null } | null {
  const said = header.findIndex(
    ({ name, unit }) => unit?.kind === 'time' || (unit === null && /^(time|t|zeit)$/i.test(name)),
  );
  if (said >= 0) return { column: said, factor: header[said]!.unit?.factor ?? null };
  if (header.length < 2 || header[0]!.unit !== null || !/^x?$/i.test(header[0]!.name)) return null;
  return climbs(data, 0) && !counts(data, 0) ? { column: 0, factor: null } : null;
}

/** A column that only numbers the rows, or −1. */
function indexOf(header: readonly Heading[], data: readonly number[][]): number {
  const said = header.findIndex(({ unit }) => unit?.kind === 'index');
  if (said >= 0) return said;
  return header.length > 1 && header[0]!.unit === null && /^x?$/i.test(header[0]!.name) && counts(data, 0) ? 0 : -1;
}

const climbs = (data: readonly number[][], column: number) =>
  data.length > 2 &&
  data.every((row, i) => i === 0 || row[column]! >= data[i - 1]![column]!) &&
  data.at(-1)![column]! > data[0]![column]!;

const counts = (data: readonly number[][], column: number) =>
  data.length > 2 && data.every((row, i) => i === 0 || row[column]! - data[i - 1]![column]! === 1);

function columnOf(cell: number, heading: Heading, meta: Meta | null, number: string): CsvColumn {
  const unit = heading.unit ?? meta?.unit ?? null;
  const name = heading.name || meta?.source || number;
  if (unit?.kind === 'volts') return { cell, name, unit: 'V', factor: unit.factor };
  if (unit?.kind === 'amperes') return { cell, name, unit: 'A', factor: unit.factor };
  return { cell, name, unit: null, factor: 1 };
}

/** Two columns of one name get their number behind it. */
function distinct(columns: readonly CsvColumn[]): CsvColumn[] {
  return columns.map((column, i) =>
    columns.some((other, j) => j < i && other.name === column.name)
      ? { ...column, name: `${column.name} ${i + 1}` }
      : column,
  );
}

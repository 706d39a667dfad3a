import { narrowed } from './csv-encoding';
import { type CsvLayout, layoutOf } from './csv-layout';
import { CodeRails } from './csv-rails';
import { type Scanned, scanRows } from './csv-scan';
import { type Spacing, TimeAxis } from './csv-time';
import type { Warning } from './figures';
import { type Block, blockFrames, type Reader, type Recording } from './recording';
import type { ByteSource, Control } from './source';

/** Bytes from which the layout is told. */
const headBytes = 1 << 18;

/** Instruments write 9.9e37 for what is over range, and 9.91e37 for no number at all (SCPI 1999, 7.2.1). */
const overRange = 9.9e37;

/** Steps beyond these are no recorder's, s. */
const [shortestStep, longestStep] = [1e-15, 1e9];

/** Holds the last value over cells without a number, and counts them. */
class Gaps {
  count = 0;
  readonly #last: Float64Array;

  constructor(readonly layout: CsvLayout) {
    this.#last = new Float64Array(layout.values.length);
  }

  /** Fills the gaps of scanned value columns in place and brings them to their unit. */
  fill(columns: readonly Float64Array[], rows: number): void {
    columns.forEach((column, c) => {
      const { factor } = this.layout.values[c]!;
      let last = this.#last[c]!;
      for (let i = 0; i < rows; i++) {
        const value = column[i]! * factor;
        if (Math.abs(column[i]!) < overRange) last = value;
        else this.count++;
        column[i] = last;
      }
      this.#last[c] = last;
    });
  }
}

/** Wanted cells: the time column first, where there is one, then the values. */
const scanOf = (layout: CsvLayout, from: number) => ({
  delimiter: layout.delimiter,
  decimal: layout.decimal,
  cells: [...(layout.time ? [layout.time.cell] : []), ...layout.values.map(({ cell }) => cell)],
  keyed: layout.time !== null,
  from,
});
const valuesOf = (layout: CsvLayout, scanned: Scanned) => scanned.columns.slice(layout.time ? 1 : 0);

async function* csvBlocks(
  source: ByteSource,
  layout: CsvLayout,
  offsets: readonly number[],
  from: number,
  control?: Control,
) {
  const gaps = new Gaps(layout);
  const start = Math.floor(from / blockFrames);
  const options = scanOf(layout, offsets[start] ?? source.size);
  let skip = from - start * blockFrames;
  for await (const scanned of scanRows(source, options, blockFrames, control)) {
    if (scanned.rows === 0) continue;
    const columns: Block = valuesOf(layout, scanned).map((column) => column.subarray(0, scanned.rows));
    gaps.fill(columns, scanned.rows);
    if (skip < scanned.rows) yield skip === 0 ? columns : columns.map((column) => column.subarray(skip));
    skip = 0;
  }
}

/** The time column of the first rows, in seconds. */
async function timesOf(source: ByteSource, layout: CsvLayout, frames: number): Promise<Float64Array> {
  const out = new Float64Array(frames);
  let at = 0;
  for await (const { rows, columns } of scanRows(source, scanOf(layout, layout.dataFrom), blockFrames)) {
    const take = Math.min(rows, frames - at);
    for (let i = 0; i < take; i++) out[at + i] = columns[0]![i]! * layout.time!.factor;
    at += take;
    if (at >= frames) break;
  }
  return out;
}

/**
 * Opens a CSV file as oscilloscopes and loggers save them; how it is laid out is found by itself. The whole file is gone through
 * once to know its length and whether its time is even, without being kept.
 */
export const openCsv: Reader = async (file, control) => {
  const source = await narrowed(file);
  if (source.size === 0) return { error: 'the file is empty' };
  const head = await source.read(0, Math.min(source.size, headBytes));
  const layout = layoutOf(head, head.length >= source.size);
  if ('error' in layout) return layout;
  const axis = new TimeAxis(layout.time?.factor ?? 1);
  const gaps = new Gaps(layout);
  const codes = layout.values.map(() => new CodeRails());
  const offsets: number[] = [];
  let frames = 0;
  let odd = 0;
  const options = scanOf(layout, layout.dataFrom);
  for await (const scanned of scanRows(source, options, blockFrames, control)) {
    odd = scanned.odd;
    if (scanned.rows === 0) continue;
    offsets.push(scanned.from);
    frames += scanned.rows;
    if (layout.time) axis.push(scanned.columns[0]!, scanned.rows);
    const values = valuesOf(layout, scanned);
    gaps.fill(values, scanned.rows);
    codes.forEach((column, c) => {
      column.push(values[c]!, scanned.rows);
    });
  }
  if (frames < 2) return { error: 'the file holds fewer than two rows of numbers' };
  const warnings: Warning[] = [];
  const spacing: Spacing = layout.time ? axis.spacing() : { increment: layout.increment, even: true, text: null };
  const { increment } = spacing;
  if (increment !== null && !(increment > shortestStep && increment < longestStep))
    return { error: `the file states ${increment} s from row to row, which no recorder has` };
  if (spacing.text) warnings.push({ what: 'uneven', text: spacing.text });
  if (!increment) {
    const text = 'the file states no time and no sampling rate: no figure over frequency or time can be given';
    warnings.push({ what: 'no-rate', text });
  }
  const cut = gaps.count + odd > 0 && (await source.read(source.size - 1, source.size))[0] !== 10;
  if (cut)
    warnings.push({
      what: 'truncated',
      text: 'the file ends inside a line: it is cut short, and what is there is used',
    });
  if (gaps.count > 0) {
    const text = `${gaps.count} cells hold no number (over range, or left out); the value before each is held`;
    warnings.push({ what: 'gaps', text });
  }
  if (odd > 0) warnings.push({ what: 'gaps', text: `${odd} lines among the numbers hold no row and are left out` });
  const recording: Recording = {
    format: `CSV, ${delimiters[layout.delimiter]}${layout.decimal === ',' ? ', decimal comma' : ''}`,
    rate: increment ? 1 / increment : 0,
    frames,
    channels: layout.values.map(({ name, unit, factor }, c) => ({ name, unit, factor, rails: codes[c]!.rails() })),
    warnings,
    even: spacing.even,
    step: null,
    ...(spacing.rises && { times: (count: number) => timesOf(source, layout, count) }),
    blocks: (from = 0, blockControl) => csvBlocks(source, layout, offsets, from, blockControl),
  };
  return recording;
};

const delimiters = {
  ',': 'split at commas',
  ';': 'split at semicolons',
  '\t': 'split at tabs',
  '|': 'split at bars',
  ' ': 'split at spaces',
};

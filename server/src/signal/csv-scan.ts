import { type ByteSource, type Control, checkpoint } from './source';

/** Which cells of a row are wanted, and how numbers are written. */
export interface ScanOptions {
  readonly delimiter: string;
  readonly decimal: string;
  /** Cell of each wanted column. */
  readonly cells: readonly number[];
  /** A row counts when the first wanted cell holds a number; else when any does. */
  readonly keyed: boolean;
  readonly from: number;
}

/** Rows scanned: a column is NaN where its cell holds no number. Arrays are reused. */
export interface Scanned {
  readonly rows: number;
  readonly columns: readonly Float64Array[];
  /** Byte at which the first of these rows begins. */
  readonly from: number;
  /** Lines so far that hold something, but not a row of numbers. */
  readonly odd: number;
}

const chunkBytes = 1 << 18;
const [newline, carriage, space, tab, quote, plus, minus] = [10, 13, 32, 9, 34, 43, 45];
const powers = Float64Array.from({ length: 23 }, (_, n) => 10 ** n);

/** Reads cells of one line of bytes. */
class Row {
  odd = false;
  any = false;
  readonly #slots: Int32Array;
  readonly #blank: boolean;
  #bytes: Uint8Array = new Uint8Array(0);
  #at = 0;

  constructor(
    readonly delimiter: number,
    readonly decimal: number,
    cells: readonly number[],
  ) {
    this.#slots = new Int32Array(Math.max(...cells) + 1).fill(-1);
    cells.forEach((cell, slot) => {
      this.#slots[cell] = slot;
    });
    this.#blank = delimiter === space;
  }

  /** Puts the wanted cells of the line into `row` of the columns and returns where the line ends. */
  read(bytes: Uint8Array, from: number, columns: readonly Float64Array[], row: number): number {
    for (const column of columns) column[row] = Number.NaN;
    this.#bytes = bytes;
    this.#at = from;
    this.any = false;
    this.odd = false;
    if (this.#blank) while (bytes[this.#at] === space || bytes[this.#at] === tab) this.#at++;
    for (let cell = 0; ; cell++) {
      const slot = cell < this.#slots.length ? this.#slots[cell]! : -1;
      if (slot >= 0) {
        const value = this.#number();
        columns[slot]![row] = value;
        if (!Number.isNaN(value)) this.any = true;
      }
      if (!this.#skip()) return this.#at;
    }
  }

  /** On to the next cell; false at the end of the line. */
  #skip(): boolean {
    const bytes = this.#bytes;
    let quoted = false;
    for (let at = this.#at; at < bytes.length; at++) {
      const byte = bytes[at]!;
      if (byte === newline || byte === carriage) {
        this.#at = at;
        return false;
      }
      if (byte === quote) quoted = !quoted;
      else if (!quoted && (byte === this.delimiter || (this.#blank && byte === tab))) {
        if (this.#blank) while (bytes[at + 1] === space || bytes[at + 1] === tab) at++;
        this.#at = at + 1;
        return true;
      } else if (byte !== space && byte !== tab) this.odd = true;
    }
    this.#at = bytes.length;
    return false;
  }

  /** The number at the cursor, which is left behind it; NaN where there is none or something else follows it. */
  #number(): number {
    const bytes = this.#bytes;
    const start = this.#at;
    let at = start;
    let quoted = false;
    while (bytes[at] === space || bytes[at] === quote || (bytes[at] === tab && this.delimiter !== tab)) {
      if (bytes[at] === quote) quoted = true;
      at++;
    }
    // Spreadsheets of some countries write the true minus sign, three bytes of UTF-8.
    const minusSign = bytes[at] === 0xe2 && bytes[at + 1] === 0x88 && bytes[at + 2] === 0x92;
    const negative = minusSign || bytes[at] === minus;
    if (minusSign) at += 3;
    else if (negative || bytes[at] === plus) at++;
    const unsigned = at;
    let mantissa = 0;
    let digits = 0;
    let exponent = 0;
    let exact = true;
    for (let point = false; ; at++) {
      const byte = bytes[at]!;
      if (byte >= 48 && byte <= 57) {
        digits++;
        if (mantissa < 9e14) {
          mantissa = mantissa * 10 + byte - 48;
          if (point) exponent--;
        } else {
          exact = false;
          if (!point) exponent++;
        }
      } else if (byte === this.decimal && !point) point = true;
      else break;
    }
    if (digits === 0) return Number.NaN;
    if (bytes[at] === 69 || bytes[at] === 101) {
      let power = 0;
      let down = false;
      at++;
      if (bytes[at] === minus || bytes[at] === plus) down = bytes[at++] === minus;
      for (; bytes[at]! >= 48 && bytes[at]! <= 57; at++) power = Math.min(9999, power * 10 + bytes[at]! - 48);
      exponent += down ? -power : power;
    }
    const end = at;
    if (quoted && bytes[at] === quote) at++;
    while (bytes[at] === space || (bytes[at] === tab && this.delimiter !== tab)) {
      if (this.#blank) break;
      at++;
    }
    const next = bytes[at];
    const ends = next === undefined || next === newline || next === carriage || next === this.delimiter;
    if (!ends && !(this.#blank && next === tab)) return Number.NaN;
    this.#at = at;
    // Up to 15 digits and a power of ten that a double holds exactly, one division or multiplication rounds correctly.
    let value = mantissa;
    if (exact && exponent >= -22 && exponent <= 22)
      value = exponent < 0 ? mantissa / powers[-exponent]! : mantissa * powers[exponent]!;
    else value = Math.abs(Number(textOf(bytes, unsigned, end).replace(',', '.')));
    return negative ? -value : value;
  }
}

const textOf = (bytes: Uint8Array, from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to));

/** The rows of numbers of a text file from a byte on, in blocks of `blockRows`; memory does not grow with the file. */
export async function* scanRows(
  source: ByteSource,
  options: ScanOptions,
  blockRows: number,
  control?: Control,
): AsyncGenerator<Scanned> {
  const row = new Row(options.delimiter.charCodeAt(0), options.decimal.charCodeAt(0), options.cells);
  const columns = options.cells.map(() => new Float64Array(blockRows));
  let rows = 0;
  let odd = 0;
  let blockFrom = options.from;
  let carried = new Uint8Array(0);
  let base = options.from;
  for (let at = options.from; at < source.size; ) {
    await checkpoint(control, at / source.size);
    const read = await source.read(at, Math.min(source.size, at + chunkBytes));
    if (read.length === 0) break;
    at += read.length;
    const bytes = new Uint8Array(carried.length + read.length);
    bytes.set(carried);
    bytes.set(read, carried.length);
    const last = at >= source.size ? bytes.length : bytes.lastIndexOf(newline) + 1 || bytes.lastIndexOf(carriage) + 1;
    for (let from = 0; from < last; ) {
      if (bytes[from] === newline || bytes[from] === carriage) {
        from++;
        continue;
      }
      if (rows === 0) blockFrom = base + from;
      from = row.read(bytes, from, columns, rows);
      const counts = options.keyed ? !Number.isNaN(columns[0]![rows]!) : row.any;
      if (counts) rows++;
      else if (row.odd || row.any) odd++;
      if (rows === blockRows) {
        yield { rows, columns, from: blockFrom, odd };
        rows = 0;
      }
    }
    carried = bytes.slice(last);
    base = at - carried.length;
  }
  yield { rows, columns: columns.map((column) => column.subarray(0, rows)), from: blockFrom, odd };
}

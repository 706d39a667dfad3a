/** Lines of a data sheet's pin table, as they come off a page: which pins a line is about, and what the sheet calls them. */

export interface PinRow {
  /** Keys as a pinout file writes them, a range written out. */
  readonly pins: readonly string[];
  readonly name: string;
  readonly alternates: readonly string[];
  /** What else the line says. */
  readonly rest: string;
}

/** A line taken apart: its pins, and the cells behind or around them. */
interface Cells {
  readonly pins: readonly string[];
  readonly cells: readonly string[];
}

const pad = '(?:(?:exposed|thermal)[ -]?)?(?:EP|PAD|EPAD)';
const pin = `(?:\\d{1,3}|[A-Za-z]{1,2}[1-9]\\d?|${pad})`;
const between = '(?:[ \\t]*[,/&][ \\t]*|[ \\t]*[-–—][ \\t]*|[ \\t]+(?:to|and)[ \\t]+)';
const group = `"?(?:pins?[ \\t]*)?(${pin}(?:${between}${pin}(?![\\w+#]))*)"?`;
const gap = '(?:[ \\t]*[|,;)](?:[ \\t]*[|,;)])*[ \\t]*|\\.[ \\t]+|[ \\t]+(?:[-–—] +)?)';
const numberFirst = new RegExp(`^${group}(${gap})(.*)$`, 'i');
const nameFirst = new RegExp(`^("[^"]*"|[^\\s|,;"]+)(${gap})${group}(?:(${gap})(.*))?$`, 'i');
const pinOrNone = new RegExp(`^(?:${pin}|[-–—]+)$`, 'i');

/** A longer line is prose. */
const longest = 400;

/** Whether a line is an entry or key of a file already. */
export const isEntry = (line: string): boolean => /^[ \t]*["']?[\w-]+["']?:([ \t]|$)/.test(line);

/**
 * The rows of some lines, undefined for a line that is none: a heading, a page number, a description that runs on. Number and name in either
 * order, one order for all; split at tabs, bars, semicolons, commas or blanks; `1, 16` and `2-4` are several pins; where a sheet counts several
 * packages side by side, the first count holds.
 */
export function pinRows(lines: readonly string[]): (PinRow | undefined)[] {
  const plain = lines.map((line) =>
    isEntry(line) || line.length > longest ? '' : line.trim().replace(/^[|•*][ \t]*|[ \t]*\|$/g, ''),
  );
  const [first, last] = [plain.map(behindPins), plain.map(beforePins)];
  const count = (rows: readonly unknown[]) => rows.filter((row) => row !== undefined).length;
  const rows = count(last) > count(first) && count(last) > 1 ? last : first;
  const told = rows.filter((row) => row !== undefined);
  const counts = Math.min(...told.map((row) => row.cells.findIndex((cell) => !pinOrNone.test(cell))));
  return rows.map((row) => row && named({ ...row, cells: row.cells.slice(Math.max(0, counts)) }));
}

function behindPins(line: string): Cells | undefined {
  const match = numberFirst.exec(line);
  const pins = match && pinsOf(match[1]!);
  if (!pins) return undefined;
  const cells = split(match[3]!, match[2]!);
  // "16 pins in all" is a sentence.
  const sentence = /^[a-z]{2,}$/.test(cells[0] ?? '') && (cells[1]?.split(/\s+/).length ?? 0) > 1 && match[2] === ' ';
  return sentence ? undefined : { pins, cells };
}

function beforePins(line: string): Cells | undefined {
  const match = nameFirst.exec(line);
  const pins = match && pinsOf(match[3]!);
  return pins ? { pins, cells: [unquoted(match[1]!), ...split(match[5] ?? '', match[2]!)] } : undefined;
}

/** The cells of a text, split as the gap before it was. */
function split(text: string, by: string): string[] {
  const sign = ['|', '\t', ';', ','].find((candidate) => by.includes(candidate));
  const cells =
    sign === ','
      ? [...text.matchAll(/[ \t]*("[^"]*"|[^,]*)(?:,|$)/g)].map((match) => match[1]!)
      : sign !== undefined
        ? text.split(sign)
        : / {2}|\t/.test(text)
          ? text.split(/ {2,}|\t+/)
          : [text.replace(/\s.*$/, ''), text.replace(/^\S*\s*/, '')];
  return cells.map(unquoted).filter((cell) => cell !== '');
}

const unquoted = (cell: string): string =>
  cell
    .trim()
    .replace(/^"(.*)"$/, '$1')
    .replace(/\s+/g, ' ')
    .trim();

/** `1, 16` or `2-4` as keys; undefined where a range runs backwards. */
function pinsOf(text: string): string[] | undefined {
  const keys: string[] = [];
  const words = text.split(/([,/&]|[-–—]|\bto\b|\band\b)/i).map((word) => word.trim());
  for (let i = 0; i < words.length; i += 2) {
    const key = keyOf(words[i]!);
    const range = i > 0 && /^([-–—]|to)$/i.test(words[i - 1]!);
    const steps = range ? stepsTo(keys.at(-1)!, key) : [key];
    if (!steps) return undefined;
    keys.push(...steps);
  }
  return [...new Set(keys)];
}

function keyOf(word: string): string {
  if (/^\d+$/.test(word)) return String(Number(word));
  return /\d/.test(word) ? word.toUpperCase() : 'EP';
}

/** What follows a pin up to another of the same row of a grid, or by number; the largest packages have some hundreds. */
function stepsTo(from: string, to: string): string[] | undefined {
  const [a, b] = [from, to].map((key) => /^([A-Z]*)(\d+)$/.exec(key));
  if (!a || !b || a[1] !== b[1]) return undefined;
  const count = Number(b[2]) - Number(a[2]);
  return count > 0 && count < 400
    ? Array.from({ length: count }, (_, index) => `${a[1]}${Number(a[2]) + index + 1}`)
    : undefined;
}

/** The name out of the first cell: without a footnote's mark, and with the other names of a shared pin beside it. */
function named({ pins, cells }: Cells): PinRow | undefined {
  const [cell, ...rest] = cells;
  const clean = cell?.replace(/[\s]*(?:\(\d\)|[¹²³⁴⁵⁶⁷⁸⁹†‡*])+$/, '') ?? '';
  if (!/[\p{L}\p{N}]/u.test(clean) || clean.length > 40) return undefined;
  const names = clean.split(/\s*\/\s*/);
  const shared = names.length > 1 && names.every((name) => /^[A-Za-z][\w+#-]+$/.test(name));
  return {
    pins,
    name: shared ? names[0]! : clean,
    alternates: shared ? names.slice(1) : [],
    rest: [...(clean === cell ? [] : [cell]), ...rest].join(', '),
  };
}

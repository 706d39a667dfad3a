import { formatQuantity } from './format';
import { tidy } from './numeral';
import { series } from './series';
import { capacitorLetter, type Tolerance, toleranceLetter } from './tolerance';

export type CodeDimension = 'resistance' | 'capacitance' | 'inductance';
export type CodeScheme = 'IEC 60062' | 'two-digit' | 'three-digit' | 'four-digit' | 'EIA-96';

/** One way to read a printed code: the value in Ω, F or H, and its tolerance where the code says one. */
export interface CodeReading extends Tolerance {
  readonly value: number;
  readonly scheme: CodeScheme;
}

/**
 * All sensible readings of a code. `problem` says why there is none, or that readings disagree: then none may be taken. `note` is what
 * a reader should know though the reading stands.
 */
export interface DecodedCode {
  readonly readings: readonly CodeReading[];
  readonly problem?: string;
  readonly note?: string;
}

/** Exponents that digit codes count in: resistors in Ω, capacitors in pF, inductors in µH. */
const digitUnit: Record<CodeDimension, number> = { resistance: 0, capacitance: -12, inductance: -6 };

/** Letters that stand for the decimal point (IEC 60062; R for pF and µH by use), with their exponents. */
const points: Record<CodeDimension, Readonly<Record<string, number>>> = {
  resistance: { R: 0, r: 0, K: 3, k: 3, M: 6, G: 9, T: 12, L: -3, m: -3 },
  capacitance: { p: -12, P: -12, n: -9, N: -9, µ: -6, u: -6, U: -6, m: -3, F: 0, R: -12, r: -12 },
  inductance: { n: -9, N: -9, µ: -6, u: -6, U: -6, m: -3, H: 0, R: -6, r: -6 },
};

/** EIA-96 multiplier letters as exponents over the three-digit E96 value. */
const eia96: Readonly<Record<string, number>> = {
  Z: -3,
  Y: -2,
  R: -2,
  X: -1,
  S: -1,
  A: 0,
  B: 1,
  H: 1,
  C: 2,
  D: 3,
  E: 4,
  F: 5,
};

/**
 * Reads what is printed on a part: IEC 60062 ("4K7", "R47", "n33"), three and four digits ("102", "1002"), EIA-96 ("01C"), each with
 * a tolerance letter where the scheme has one ("104K"). Three digits are always read as such. Codes with two readings of different
 * value ("22R": 22 Ω or 1.65 Ω) come back with both and a problem. Never throws.
 */
export function decodeCode(code: string, dimension: CodeDimension): DecodedCode {
  const text = tidy(code);
  const readings = [
    ...jumper(text, dimension),
    ...lettered(text, dimension),
    ...digits(text, dimension),
    ...(dimension === 'resistance' ? indexed(text) : []),
  ].sort((a, b) => b.value - a.value);
  if (readings.length === 0)
    return { readings, problem: `"${text.slice(0, 20)}" is no ${names[dimension]} code known here` };
  if (readings.some((reading) => Math.abs(reading.value - readings[0]!.value) > 1e-9 * readings[0]!.value)) {
    const ways = readings.map((r) => `${formatQuantity(r.value, dimension)} (${r.scheme})`).join(' or ');
    return { readings, problem: `"${text}" can be ${ways}: measure it, and give the value` };
  }
  if (dimension === 'capacitance' && /^[1-9]\d0$/.test(text))
    return { readings, note: `on an electrolytic can ${text} is ${text} µF, not a code` };
  return { readings };
}

const names: Record<CodeDimension, string> = {
  resistance: 'resistor',
  capacitance: 'capacitor',
  inductance: 'inductor',
};

/** Zeros alone: a 0 Ω link. */
const jumper = (text: string, dimension: CodeDimension): CodeReading[] =>
  dimension === 'resistance' && /^0{1,4}$/.test(text)
    ? [{ value: 0, scheme: text.length === 4 ? 'four-digit' : 'three-digit' }]
    : [];

function lettered(text: string, dimension: CodeDimension): CodeReading[] {
  const match = /^(\d{0,3})([A-Za-zµ])(\d{0,4})([A-Z])?$/.exec(text);
  if (!match) return [];
  const [, whole = '', point = '', part = '', letter] = match;
  // F and H end a code as tolerances (104F); as points they have a digit behind them (1F0).
  if (whole + part === '' || !Object.hasOwn(points[dimension], point) || (/[FH]/.test(point) && part === '')) return [];
  const read = (exponent: number): CodeReading[] => {
    const value = Number(`${whole || '0'}.${part || '0'}e${exponent}`);
    const tolerance = letter ? toleranceOf(letter, value, dimension) : {};
    return tolerance ? [{ value, ...tolerance, scheme: 'IEC 60062' }] : [];
  };
  const found = read(points[dimension][point]!);
  // R on a capacitor is a point in pF on ceramics and in µF on small electrolytics; a tolerance in pF settles it.
  const either = dimension === 'capacitance' && /[Rr]/.test(point) && !/[BCDFG]/.test(letter ?? '');
  return either ? [...found, ...read(-6)] : found;
}

/** Two (capacitors), three or four digits, the last of three or four a power of ten; with or without a tolerance letter. */
function digits(text: string, dimension: CodeDimension): CodeReading[] {
  const match = /^(\d{2,4})([A-Z])?$/.exec(text);
  if (!match || /^0+$/.test(match[1]!)) return [];
  const [, figures = '', letter] = match;
  // 470K is a value in kΩ, no 47 Ω ±10 %; 472K may be 472 kΩ or a network's 4.7 kΩ ±10 %.
  if (dimension === 'resistance' && /^\d\d0[KMG]$/.test(text)) return [];
  const read = (value: number, scheme: CodeScheme): CodeReading[] => {
    const tolerance = letter ? toleranceOf(letter, value, dimension) : {};
    return tolerance ? [{ value, ...tolerance, scheme }] : [];
  };
  const plain = Number(`${figures}e${digitUnit[dimension]}`);
  if (figures.length === 2)
    return dimension === 'capacitance' && !figures.startsWith('0') ? read(plain, 'two-digit') : [];
  const power = Number(figures.at(-1));
  // A code starts with a significant digit; 010 on a capacitor is the one in use, 1 pF.
  if (figures.startsWith('0') && !(dimension === 'capacitance' && /^0\d0$/.test(figures))) return [];
  if (dimension === 'inductance' && (power > 7 || figures.length === 4)) return [];
  // Below 10 pF the third digit of a capacitor code counts down: 9 is ×0.1, 8 is ×0.01.
  const exponent = dimension === 'capacitance' && power > 7 ? power - 10 : power;
  const value = Number(`${figures.slice(0, -1)}e${exponent + digitUnit[dimension]}`);
  const coded = read(value, figures.length === 3 ? 'three-digit' : 'four-digit');
  // Four digits on a capacitor may also be plain picofarads.
  return dimension === 'capacitance' && figures.length === 4 ? [...coded, ...read(plain, 'four-digit')] : coded;
}

/** Two digits and a letter on a 1 % chip resistor: place in E96, counted from 01, and multiplier. */
function indexed(text: string): CodeReading[] {
  const [, place = '', letter = ''] = /^(\d\d)([A-Z])$/.exec(text.toUpperCase()) ?? [];
  const significant = series.E96[Number(place) - 1];
  if (significant === undefined || !Object.hasOwn(eia96, letter)) return [];
  return [{ value: Number(`${significant}e${eia96[letter]}`), tolerance: 0.01, scheme: 'EIA-96' }];
}

const toleranceOf = (letter: string, value: number, dimension: CodeDimension): Tolerance | null =>
  dimension === 'capacitance' ? capacitorLetter(letter, value) : toleranceLetter(letter);

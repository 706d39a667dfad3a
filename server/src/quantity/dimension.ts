/** What a quantity measures. Levels carry their reference (dBV, dBu, dBFS); dB alone is a ratio. */
export type Dimension =
  | 'resistance'
  | 'capacitance'
  | 'inductance'
  | 'frequency'
  | 'voltage'
  | 'current'
  | 'power'
  | 'level'
  | 'ratio-db'
  | 'percent'
  | 'ppm'
  | 'time';

/** How one dimension is written. */
export interface DimensionEntry {
  /** For messages and the reference: "resistance in ohms". */
  readonly name: string;
  /** Unit of a bare number and of every value, except that a level keeps the dB unit it was written in. */
  readonly base: string;
  /** Spellings of the unit, in any case, the usual one first. Ω stands for both of its code points. */
  readonly spellings: readonly string[];
  /** SI prefixes in use with it on a bench. */
  readonly prefixes: readonly string[];
  /** Prefixes that are a slip or an old habit, and the one probably meant. */
  readonly slips: Readonly<Record<string, string>>;
  /** Whether it may be negative. */
  readonly signed: boolean;
  /** A bare number from here up is more likely a forgotten unit than a value. */
  readonly bareBelow?: number;
  readonly example: string;
}

/** Powers of ten of the SI prefixes (SI brochure, 9th edition, table 7). */
export const prefixes: Readonly<Record<string, number>> = {
  p: -12,
  n: -9,
  µ: -6,
  m: -3,
  '': 0,
  k: 3,
  M: 6,
  G: 9,
  T: 12,
};

const entry = (
  name: string,
  spellings: string[],
  allowed: string,
  example: string,
  more: Partial<DimensionEntry> = {},
): DimensionEntry => ({
  name,
  base: spellings[0]!,
  spellings,
  prefixes: ['', ...allowed],
  slips: {},
  signed: true,
  example,
  ...more,
});

/**
 * Every dimension of the dialect. Prefix choice and slips are common practice, no source: parts lists in capitals write MF or MFD
 * for µF, old schematics mF, mmF and µµF; a crystal in millihertz is a lower-case MHz.
 */
export const dimensions: Readonly<Record<Dimension, DimensionEntry>> = {
  resistance: entry('resistance in ohms', ['Ω', 'ohm', 'ohms', 'R'], 'mkMGT', '4k7', { signed: false }),
  capacitance: entry('capacitance in farads', ['F', 'farad', 'farads', 'fd'], 'pnµ', '100 nF', {
    signed: false,
    slips: { m: 'µ', M: 'µ', mm: 'p', MM: 'p', µµ: 'p' },
    bareBelow: 1,
  }),
  inductance: entry('inductance in henries', ['H', 'henry', 'henries', 'henrys'], 'nµm', '10 µH', {
    signed: false,
    slips: { M: 'm' },
  }),
  frequency: entry('frequency in hertz', ['Hz', 'hertz'], 'kMG', '997 Hz', { signed: false, slips: { m: 'M' } }),
  voltage: entry('voltage in volts', ['V', 'volt', 'volts'], 'nµmk', '3.3 V', { slips: { M: 'm' } }),
  current: entry('current in amperes', ['A', 'amp', 'amps', 'ampere', 'amperes'], 'nµmk', '20 mA', {
    slips: { M: 'm' },
  }),
  power: entry('power in watts', ['W', 'watt', 'watts'], 'nµmk', '250 mW', { signed: false, slips: { M: 'm' } }),
  level: entry('level in dBV, dBu or dBFS', ['dBFS', 'dBV', 'dBu'], '', '-10 dBV'),
  'ratio-db': entry('ratio in dB', ['dB'], '', '40 dB'),
  percent: entry('percentage', ['%', 'percent', 'pct'], '', '5 %'),
  ppm: entry('deviation in ppm', ['ppm'], '', '30 ppm'),
  time: entry('time in seconds', ['s', 'sec', 'second', 'seconds'], 'nµm', '20 ms', { slips: { M: 'm' } }),
};

/** All dimensions, in the order of the table. */
export const allDimensions = Object.keys(dimensions) as Dimension[];

/** "resistance in ohms, such as 4k7": what a message says it expected. */
export function expected(wanted: readonly Dimension[]): string {
  if (wanted.length === 0) return 'no quantity here';
  const names = wanted.map((dimension) => dimensions[dimension].name).join(', or ');
  return `${names}, such as ${wanted.map((dimension) => dimensions[dimension].example).join(' or ')}`;
}

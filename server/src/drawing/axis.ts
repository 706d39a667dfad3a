import { formatQuantity } from '../quantity/format';

export interface Tick {
  readonly value: number;
  readonly label: string;
}

/** Round places along a range, their labels, and the unit the labels count in. */
export interface Axis {
  readonly low: number;
  readonly high: number;
  readonly unit: string;
  readonly ticks: readonly Tick[];
}

/** Decimal prefixes that plots of volts, amperes and seconds need. */
const prefixes: readonly (readonly [number, string])[] = [
  [1e3, 'k'],
  [1, ''],
  [1e-3, 'm'],
  [1e-6, 'µ'],
  [1e-9, 'n'],
];

/**
 * An axis from `low` to `high`, `high` the larger, with about `count` ticks 1, 2 or 5 times a power of ten apart.
 * @param unit V, A, s take prefixes; small values of anything else are counted in powers of a thousand, which the unit then names
 */
export function axis(low: number, high: number, unit: string, count: number): Axis {
  const step = roundStep((high - low) / count);
  const [factor, name] = countedIn(Math.max(Math.abs(low), Math.abs(high)), unit);
  const decimals = Math.min(12, Math.max(0, -Math.floor(Math.log10(step / factor) + 1e-9)));
  const ticks: Tick[] = [];
  // Counted in whole steps, so that errors do not add up; a hair's breadth outside still counts as inside.
  for (let at = Math.ceil(low / step - 1e-6); at <= Math.floor(high / step + 1e-6); at++) {
    const value = at * step;
    ticks.push({ value, label: (value / factor + 0).toFixed(decimals).replace('-', '−') });
  }
  return { low, high, unit: name, ticks };
}

/** What labels count in so that the largest has digits before its point. */
function countedIn(largest: number, unit: string): readonly [factor: number, name: string] {
  if (/^[VAs]$/.test(unit)) {
    const [factor, prefix] = prefixes.find(([size]) => largest >= size) ?? prefixes[prefixes.length - 1]!;
    return [factor, prefix + unit];
  }
  const thousands = Math.min(0, Math.floor(Math.log10(largest) / 3));
  if (thousands > -2) return [1, unit];
  const raised = String(3 * thousands).replace(/./g, (sign) => superscripts[sign]!);
  return [1000 ** thousands, `${unit} × 10${raised}`];
}

const superscripts: Readonly<Record<string, string>> = Object.fromEntries(
  [...'-0123456789'].map((sign, at) => [sign, [...'⁻⁰¹²³⁴⁵⁶⁷⁸⁹'][at]!]),
);

/** The smallest of 1, 2, 5 times a power of ten that is not below. */
function roundStep(least: number): number {
  const decade = 10 ** Math.floor(Math.log10(least));
  return decade * ([1, 2, 5, 10].find((times) => times * decade >= least * (1 - 1e-9)) ?? 10);
}

/** Below this no recorder sees anything, be it volts, amperes or a share of full scale. */
const least = 1e-12;

/**
 * The range a plot shows of values from `low` to `high`: zero belongs to it unless they lie far from it, and a flat line stands in
 * its middle.
 */
export function rangeOf(low: number, high: number): readonly [number, number] {
  const far = Math.abs(low + high) / 2 > 1.5 * (high - low);
  const bottom = far ? low : Math.min(0, low);
  const top = far ? high : Math.max(0, high);
  const span = top - bottom;
  const largest = Math.max(Math.abs(top), Math.abs(bottom));
  if (span > Math.max(1e-9 * largest, least)) return [bottom - 0.06 * span, top + 0.06 * span];
  const margin = largest > least ? 0.1 * largest : 1;
  return [bottom - margin, top + margin];
}

/** A moment as a caption gives it. */
export const moment = (seconds: number): string => formatQuantity(seconds, 's', 4);

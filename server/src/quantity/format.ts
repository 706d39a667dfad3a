import { allDimensions, type Dimension, type DimensionEntry, dimensions, prefixes } from './dimension';
import type { Figure } from './figure';

/** A unit as the table knows it, and what follows it: "V" and " RMS". */
function lookUp(unitOrDimension: string): { unit: string; entry?: DimensionEntry } {
  if (Object.hasOwn(dimensions, unitOrDimension)) {
    const entry = dimensions[unitOrDimension as Dimension];
    return { unit: entry.base, entry };
  }
  const base = unitOrDimension.split(' ')[0]!;
  const dimension = allDimensions.find((name) => dimensions[name].spellings[0] === base);
  return { unit: unitOrDimension, ...(dimension ? { entry: dimensions[dimension] } : {}) };
}

/** The prefix under which a positive value has one to three digits before the point, as far as the unit has prefixes. */
function prefixFor(value: number, entry: DimensionEntry | undefined): string {
  const usable = entry?.prefixes.length ? entry.prefixes : [''];
  const rising = [...usable].sort((a, b) => prefixes[a]! - prefixes[b]!);
  // The trade has no millifarads: 4700 µF up to 0.1 F.
  const from = (prefix: string) => (entry === dimensions.capacitance && prefix === '' ? 0.1 : 10 ** prefixes[prefix]!);
  return value === 0 ? '' : (rising.findLast((prefix) => value >= from(prefix) * (1 - 1e-12)) ?? rising[0]!);
}

const minus = '\u2212';

/** Decimals without an exponent where it can be read without, and with the true minus. */
const decimal = (value: number, decimals: number): string => {
  const text = Math.abs(value).toFixed(Math.min(100, Math.max(0, decimals)));
  return value < 0 && Number(text) !== 0 ? minus + text : text;
};

const trimmed = (text: string): string => (text.includes('.') ? text.replace(/\.?0+$/, '') : text);

/** SI brochure 5.4.3: a space before every unit but the degree of angle. */
const withUnit = (number: string, unit: string): string =>
  unit === '' || unit === '°' ? number + unit : `${number} ${unit}`;

/** The place of a number's first digit: 0 for 4.7, 2 for 470, −1 for 0.47. */
const place = (value: number): number => Number(value.toExponential().split('e')[1]);

/**
 * A number with its unit as the trade writes it, in engineering notation: "4.7 kΩ", "22 µF", "−6.4 dB". `value` is in the base unit (or
 * in dB, %, ppm, °), the second argument a dimension or a unit such as "V RMS"; `digits` significant digits, trailing zeros dropped;
 * dB keep one decimal however large. For people: the minus is U+2212, which `parseQuantity` reads too.
 */
export function formatQuantity(value: number, unitOrDimension: Dimension | (string & {}), digits = 3): string {
  const { unit, entry } = lookUp(unitOrDimension);
  if (Number.isNaN(value)) return withUnit('?', unit);
  if (!Number.isFinite(value)) return withUnit(value < 0 ? `${minus}∞` : '∞', unit);
  if (unit.startsWith('dB')) return withUnit(trimmed(decimal(value, Math.max(1, digits - 1 - place(value)))), unit);
  // Rounded first, so that 999.9 becomes 1 k and not 1000.
  const rounded = Number(value.toPrecision(digits));
  const prefix = prefixFor(Math.abs(rounded), entry);
  const scaled = rounded / 10 ** prefixes[prefix]!;
  return withUnit(trimmed(decimal(scaled, digits - 1 - place(scaled))), prefix + unit);
}

/**
 * A figure with its uncertainty where one is known: "4.70 ± 0.05 kΩ". What stands behind ± is twice the standard deviation (coverage
 * factor 2, about 95 %, GUM clause 6.2), to two digits when it starts with 1 and to one otherwise; the value ends at the same place.
 */
export function formatFigure(figure: Figure): string {
  const { value, unit, sd } = figure;
  if (sd === null || !(sd > 0) || !Number.isFinite(sd) || !Number.isFinite(value)) return formatQuantity(value, unit);
  const prefix = prefixFor(Math.max(Math.abs(value), 2 * sd), lookUp(unit).entry);
  const scale = 10 ** prefixes[prefix]!;
  const spread = (2 * sd) / scale;
  const last = place(spread) - (spread.toExponential().startsWith('1') ? 1 : 0);
  const shown = (number: number): string =>
    decimal(last > 0 ? Math.round(number / 10 ** last) * 10 ** last : number, -last);
  return withUnit(`${shown(value / scale)} ± ${shown(spread)}`, prefix + unit);
}

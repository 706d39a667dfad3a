/** The preferred-number series of IEC 60063, by the values in a decade. */
export type SeriesName = 'E3' | 'E6' | 'E12' | 'E24' | 'E48' | 'E96' | 'E192';

/** E24 is older than its formula: 27 to 47 and 82 are not what 10^(i/24) rounds to. So it is written out. */
const e24 = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];

/** 100·10^(i/192), rounded; the one exception of the standard is 920, where rounding gives 919. */
const e192 = Array.from({ length: 192 }, (_, i) => (i === 185 ? 920 : Math.round(100 * 10 ** (i / 192))));

const every = (values: readonly number[], step: number): readonly number[] => values.filter((_, i) => i % step === 0);

/** Values of one decade: two digits (10…91) up to E24, three (100…988) from E48. */
export const series: Readonly<Record<SeriesName, readonly number[]>> = {
  E3: every(e24, 8),
  E6: every(e24, 4),
  E12: every(e24, 2),
  E24: e24,
  E48: every(e192, 4),
  E96: every(e192, 2),
  E192: e192,
};

/** The standard values around a positive value, one decade either side, rising; exact decimals, not products of powers. */
function around(value: number, name: SeriesName): number[] {
  const values = series[name];
  const digits = values[0] === 10 ? 1 : 2;
  const decade = Math.floor(Math.log10(value));
  return [decade - 1, decade, decade + 1].flatMap((power) => values.map((v) => Number(`${v}e${power - digits}`)));
}

const same = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-9 * Math.abs(b);

/**
 * The standard value nearest in ratio, or the next one up or down; a value that is itself standard is returned. Null where the value
 * is not positive and finite.
 */
export function nearest(
  value: number,
  name: SeriesName,
  direction: 'nearest' | 'up' | 'down' = 'nearest',
): number | null {
  if (!(value > 0) || !Number.isFinite(value)) return null;
  const values = around(value, name);
  const exact = values.find((v) => same(v, value));
  if (exact !== undefined) return exact;
  const up = values.find((v) => v > value) ?? null;
  const down = values.findLast((v) => v < value) ?? null;
  if (direction !== 'nearest') return direction === 'up' ? up : down;
  if (up === null || down === null) return up ?? down;
  return up / value < value / down ? up : down;
}

/** Whether the series has this value, whatever the decade; binary rounding (1e-9 of the value) does not count. */
export const isStandard = (value: number, name: SeriesName): boolean => {
  const found = nearest(value, name);
  return found !== null && same(value, found);
};

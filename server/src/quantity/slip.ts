import type { CodeReading } from './codes';
import { formatQuantity } from './format';
import type { Quantity } from './quantity';

/** How far apart value and code may be and still be the same number with another prefix: E12's ±10 %. Common practice, no source. */
const alike = 0.1;

/**
 * Holds a written value against what the code on the part says. Null where they agree, or where no change of prefix would make them;
 * else what was probably meant: 4.7 mΩ written for a part marked 475 (4.7 MΩ) is m for M.
 */
export function slipAgainstCode(
  quantity: Quantity,
  readings: readonly CodeReading[],
): { message: string; suggestion: string } | null {
  if (!(quantity.value > 0)) return null;
  const powers = readings.map(({ value }) => Math.log10(value / quantity.value));
  if (powers.some((power) => Math.abs(power) < Math.log10(1 + alike))) return null;
  const index = powers.findIndex(
    (power) => Number.isFinite(power) && Math.abs(power - 3 * Math.round(power / 3)) < Math.log10(1 + alike),
  );
  if (index < 0) return null;
  const meant = formatQuantity(quantity.value * 1000 ** Math.round(powers[index]! / 3), quantity.dimension);
  const marked = formatQuantity(readings[index]!.value, quantity.dimension);
  return { message: `"${quantity.text}" on a part marked ${marked} is probably ${meant}`, suggestion: meant };
}

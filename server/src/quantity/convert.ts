import type { Quantity } from './quantity';

/** Volts RMS of 0 dBu: 1 mW in 600 Ω is √0.6 V exactly; 0.775 is a rounding of it. */
export const dbuReference = Math.sqrt(0.6);

/** Volts of a voltage, or of a level in dBV (re 1 V RMS) or dBu (re √0.6 V RMS); null for dBFS, which has no volts, and all else. */
export function toVoltsRms(quantity: Quantity): number | null {
  if (quantity.dimension === 'voltage') return quantity.value;
  if (quantity.unit === 'dBV') return 10 ** (quantity.value / 20);
  if (quantity.unit === 'dBu') return dbuReference * 10 ** (quantity.value / 20);
  return null;
}

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

/** Level in dBV of volts RMS, the sign left aside; −Infinity for 0 V. */
export const toDbv = (volts: number): number => 20 * Math.log10(Math.abs(volts));

/** Level in dBu of volts RMS, the sign left aside; −Infinity for 0 V. */
export const toDbu = (volts: number): number => 20 * Math.log10(Math.abs(volts) / dbuReference);

/** 0.05 for 5 %, 30e-6 for 30 ppm; null for what is no share. A ratio in dB is none: amplitude or power, it does not say. */
export function toFraction(quantity: Quantity): number | null {
  if (quantity.dimension === 'percent') return quantity.value / 100;
  if (quantity.dimension === 'ppm') return quantity.value / 1e6;
  return null;
}

import { describe, expect, test } from 'vitest';
import { toVoltsRms } from '../../server/src/quantity/convert';
import type { Dimension } from '../../server/src/quantity/dimension';
import { parseQuantity } from '../../server/src/quantity/quantity';

const quantity = (text: string, ...wanted: Dimension[]) => parseQuantity(text, wanted).quantity!;

// 0 dBV is 1 V, 0 dBu is √0.6 V by definition; 0.316 V and 1.228 V for the two nominal levels are printed everywhere.
describe('levels', () => {
  test.each([
    ['0 dBu', 0.7745967],
    ['0 dBV', 1],
    ['-10 dBV', 0.3162278],
    ['+4 dBu', 1.227653],
    ['0.5 V', 0.5],
    ['150 mV', 0.15],
  ])('%s', (text, volts) => {
    expect(toVoltsRms(quantity(text, 'voltage', 'level'))).toBeCloseTo(volts, 6);
  });

  test('professional over consumer level: 11.78 dB', () => {
    const [high, low] = ['+4 dBu', '-10 dBV'].map((text) => toVoltsRms(quantity(text, 'level'))!);
    expect(20 * Math.log10(high! / low!)).toBeCloseTo(11.7815, 3);
  });

  test('full scale has no volts, and ohms are no level', () => {
    expect(toVoltsRms(quantity('-12 dBFS', 'level'))).toBe(null);
    expect(toVoltsRms(quantity('470', 'resistance'))).toBe(null);
  });
});

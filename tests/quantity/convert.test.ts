import { describe, expect, test } from 'vitest';
import { toDbu, toDbv, toFraction, toVoltsRms } from '../../server/src/quantity/convert';
import type { Dimension } from '../../server/src/quantity/dimension';
import { parseQuantity } from '../../server/src/quantity/quantity';

const quantity = (text: string, ...wanted: Dimension[]) => parseQuantity(text, wanted).quantity!;

// 0 dBV is 1 V, 0 dBu is √0.6 V by definition; 0.316 V and 1.228 V for the two nominal levels are printed everywhere.
describe('levels', () => {
  test.each([
    ['0 dBu', 0.7745967, -2.2185, 0],
    ['0 dBV', 1, 0, 2.2185],
    ['-10 dBV', 0.3162278, -10, -7.7815],
    ['+4 dBu', 1.227653, 1.7815, 4],
    ['0.5 V', 0.5, -6.0206, -3.8021],
    ['2 V', 2, 6.0206, 8.2391],
    ['2.8 V', 2.8, 8.9432, 11.1616],
    ['150 mV', 0.15, -16.4782, -14.2597],
  ])('%s', (text, volts, dbv, dbu) => {
    const found = toVoltsRms(quantity(text, 'voltage', 'level'))!;
    expect(found).toBeCloseTo(volts, 6);
    expect(toDbv(found)).toBeCloseTo(dbv, 3);
    expect(toDbu(found)).toBeCloseTo(dbu, 3);
  });

  test('professional over consumer level: 11.78 dB', () => {
    const [high, low] = ['+4 dBu', '-10 dBV'].map((text) => toVoltsRms(quantity(text, 'level'))!);
    expect(toDbv(high!) - toDbv(low!)).toBeCloseTo(11.7815, 3);
  });

  test('full scale has no volts, and ohms are no level', () => {
    expect(toVoltsRms(quantity('-12 dBFS', 'level'))).toBe(null);
    expect(toVoltsRms(quantity('470', 'resistance'))).toBe(null);
    expect(toDbv(0)).toBe(Number.NEGATIVE_INFINITY);
  });
});

test('shares', () => {
  expect(toFraction(quantity('5 %', 'percent'))).toBe(0.05);
  expect(toFraction(quantity('30 ppm', 'ppm'))).toBeCloseTo(30e-6, 15);
  expect(toFraction(quantity('40 dB', 'ratio-db'))).toBe(null);
});

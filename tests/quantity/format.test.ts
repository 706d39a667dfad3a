import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { allDimensions, dimensions } from '../../server/src/quantity/dimension';
import { formatFigure, formatQuantity } from '../../server/src/quantity/format';
import { parseQuantity } from '../../server/src/quantity/quantity';

describe('a number as the trade writes it', () => {
  // Engineering notation and unit spacing: SI brochure 5.4; µF up to 0.1 F: common practice, no source.
  test.each([
    [4700, 'resistance', '4.7 kΩ'],
    [22e-6, 'capacitance', '22 µF'],
    [4700e-6, 'F', '4700 µF'],
    [0.47, 'F', '0.47 F'],
    [100e-9, 'F', '100 nF'],
    [0.02, 'V RMS', '20 mV RMS'],
    [999.96, 'V', '1 kV'],
    [999.4, 'V', '999 V'],
    [-15, 'V', '\u221215 V'],
    [0, 'V', '0 V'],
    [-0, 'V', '0 V'],
    [12e6, 'frequency', '12 MHz'],
    [0.5, 'Hz', '0.5 Hz'],
    [-6.4, 'dB', '\u22126.4 dB'],
    [-124.83, 'dBV', '\u2212124.8 dBV'],
    [0.05, 'dB', '0.05 dB'],
    [12345, 'ppm', '12300 ppm'],
    [180, '°', '180°'],
    [0.62, '', '0.62'],
    [Number.POSITIVE_INFINITY, 'Ω', '∞ Ω'],
    [Number.NEGATIVE_INFINITY, 'dB', '\u2212∞ dB'],
    [Number.NaN, 'V', '? V'],
  ])('%d %s', (value, unit, text) => expect(formatQuantity(value, unit)).toBe(text));

  test('more digits where asked', () => {
    expect(formatQuantity(997.03, 'Hz', 5)).toBe('997.03 Hz');
    expect(formatQuantity(11999640, 'Hz', 6)).toBe('11.9996 MHz');
  });

  test('what is printed reads back to the digits shown', () => {
    const digits = fc.integer({ min: 2, max: 7 });
    fc.assert(
      fc.property(
        fc.constantFrom(...allDimensions),
        fc.double({ min: -8, max: 6, noNaN: true }),
        digits,
        fc.boolean(),
        (name, power, n, negative) => {
          const { signed } = dimensions[name];
          const value = (negative && signed ? -1 : 1) * 10 ** (name === 'capacitance' ? power - 5 : power);
          const text = formatQuantity(value, name, n);
          const { quantity, problem } = parseQuantity(text, [name]);
          expect(problem, text).toBeUndefined();
          expect(Math.abs(quantity!.value / value - 1), text).toBeLessThanOrEqual(5.0001 * 10 ** -n);
        },
      ),
      { numRuns: 1000 },
    );
  });
});

describe('a figure with its uncertainty', () => {
  // Twice the standard deviation, the value ending where the uncertainty does: GUM (JCGM 100:2008) 6.2 and 7.2.6.
  test.each([
    [4700, 'Ω', 25, '4.70 ± 0.05 kΩ'],
    [-6.43, 'dB', 0.15, '\u22126.4 ± 0.3 dB'],
    [470, 'Ω', 60, '470 ± 120 Ω'],
    [4712, 'ppm', 200, '4700 ± 400 ppm'],
    [12e6, 'Hz', 10, '12.00000 ± 0.00002 MHz'],
    [90, '°', 0.6, '90.0 ± 1.2°'],
    [-0.001, 'dB', 0.2, '0.0 ± 0.4 dB'],
    [1e-7, 'F', null, '100 nF'],
    [1e-7, 'F', 0, '100 nF'],
  ])('%d %s, sd %d', (value, unit, sd, text) => expect(formatFigure({ value, unit, sd, basis: [] })).toBe(text));
});

import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { inverse } from '../../server/src/circuit/complex';
import { crystalCapacitors, crystalLoad } from '../../server/src/circuit/crystal';
import { impedanceBetween } from '../../server/src/circuit/transfer';

const pF = 1e-12;

describe('crystal load, CL = C1·C2/(C1 + C2) + stray across', () => {
  // NXP/LPCware, "How to calculate the value of crystal load capacitors"; vbatpower.com; 3roam.com.
  test.each([
    [15, 2, 26],
    [12, 5, 14],
    [8, 5, 6],
    [8, 3, 10],
  ])('for %d pF with %d pF stray two of %d pF', (load, stray, each) => {
    expect(crystalCapacitors(load * pF, { across: stray * pF })! / pF).toBeCloseTo(each, 9);
    expect(crystalLoad(each * pF, each * pF, { across: stray * pF }) / pF).toBeCloseTo(load, 9);
  });

  // The same pages: fitted 15 for 14, and 16 where 6 was asked for; the rest by the formula.
  test.each([
    [15, 15, 5, 12.5],
    [16, 16, 5, 13],
    [22, 22, 5, 16],
    [18, 18, 3, 12],
    [22, 33, 3, 16.2],
    [27, 27, 4.5, 18],
    [20, 20, 2, 12],
  ])('%d and %d pF with %d pF stray: %d pF', (c1, c2, stray, wanted) => {
    expect(crystalLoad(c1 * pF, c2 * pF, { across: stray * pF }) / pF).toBeCloseTo(wanted, 9);
  });

  test('stray from each pin to ground is another thing: 28 pF, not 26, for 15 pF with 2 pF (Atmel AVR042)', () => {
    expect(crystalCapacitors(15 * pF, { perPin: 2 * pF })! / pF).toBeCloseTo(28, 9);
    expect(crystalLoad(28 * pF, 28 * pF, { perPin: 2 * pF }) / pF).toBeCloseTo(15, 9);
  });

  test('a stray that is already too much has no answer, and no capacitors are no load', () => {
    expect(crystalCapacitors(3 * pF, { across: 5 * pF })).toBeNull();
    expect(crystalLoad(0, 0, { across: 3 * pF })).toBe(3 * pF);
  });

  test('the network between the pins shows the same at the crystal’s own frequency', () => {
    const hertz = 12e6;
    const solved = network({
      reference: 'GND',
      elements: [
        { kind: 'capacitor', name: 'C1', a: 'XIN', b: 'GND', farads: 22 * pF },
        { kind: 'capacitor', name: 'C2', a: 'XOUT', b: 'GND', farads: 33 * pF },
        { kind: 'capacitor', name: 'Y1 stray', a: 'XIN', b: 'XOUT', farads: 3 * pF },
      ],
    }).at(hertz);
    const susceptance = inverse(impedanceBetween(solved, 'XIN', 'XOUT')!).im;
    expect(susceptance / (2 * Math.PI * hertz) / pF).toBeCloseTo(16.2, 8);
  });
});

import { describe, expect, test } from 'vitest';
import { logarithmic, network, sweep } from '../../server/src/circuit/ac';
import { decibels } from '../../server/src/circuit/complex';
import type { Netlist } from '../../server/src/circuit/netlist';
import { transfer } from '../../server/src/circuit/transfer';

describe('a sweep', () => {
  test('frequencies stand evenly over the logarithm, both ends included', () => {
    expect(logarithmic(10, 1000, 1)).toEqual([10, 100, 1000]);
    expect(logarithmic(20, 20e3, 10)).toHaveLength(31);
    expect(logarithmic(20, 20e3, 10).at(-1)).toBe(20e3);
    expect(logarithmic(20, 30, 3)).toEqual([20, 30]);
  });

  test('a first-order high-pass from 1 mHz to 10 kHz, more points than are kept, each by its closed form', () => {
    const netlist: Netlist = {
      reference: 'GND',
      elements: [
        { kind: 'voltage', name: 'U1', a: 'pin', b: 'GND' },
        { kind: 'capacitor', name: 'C7', a: 'pin', b: 'tip', farads: 1e-6 },
        { kind: 'load', name: 'J2', a: 'tip', b: 'GND', ohms: 10e3 },
      ],
    };
    const frequencies = logarithmic(1e-3, 10e3, 20);
    const levels = sweep(network(netlist), frequencies, (solved) => transfer(solved, { source: 'U1', at: 'tip' })!);
    expect(levels).toHaveLength(141);
    for (const [k, hertz] of frequencies.entries()) {
      const ratio = 2 * Math.PI * hertz * 0.01;
      expect(decibels(levels[k]!)).toBeCloseTo(20 * Math.log10(ratio / Math.hypot(1, ratio)), 9);
    }
  });
});

import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { decibels } from '../../server/src/circuit/complex';
import type { Netlist } from '../../server/src/circuit/netlist';
import { transfer } from '../../server/src/circuit/transfer';

describe('a sweep', () => {
  test('a first-order high-pass from 1 mHz to 10 kHz, more points than are kept, each by its closed form', () => {
    const netlist: Netlist = {
      reference: 'GND',
      elements: [
        { kind: 'voltage', name: 'U1', a: 'pin', b: 'GND' },
        { kind: 'capacitor', name: 'C7', a: 'pin', b: 'tip', farads: 1e-6 },
        { kind: 'load', name: 'J2', a: 'tip', b: 'GND', ohms: 10e3 },
      ],
    };
    const opened = network(netlist);
    for (let k = 0; k <= 140; k++) {
      const hertz = 1e-3 * 10 ** (k / 20);
      const ratio = 2 * Math.PI * hertz * 0.01;
      const level = decibels(transfer(opened.at(hertz), { source: 'U1', at: 'tip' })!);
      expect(level).toBeCloseTo(20 * Math.log10(ratio / Math.hypot(1, ratio)), 9);
    }
  });
});

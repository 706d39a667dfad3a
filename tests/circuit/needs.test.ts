import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { corner } from '../../server/src/circuit/corner';
import { needs } from '../../server/src/circuit/needs';
import { type Netlist, unknowns } from '../../server/src/circuit/netlist';
import { transfer } from '../../server/src/circuit/transfer';

/** Two outputs; the left series resistor, the right coupling capacitor, a supply decoupler and a bead have no value yet. */
const board: Netlist = {
  reference: 'GND',
  elements: [
    { kind: 'voltage', name: 'left', a: 'L', b: 'GND', dc: 1.65, ohms: 20 },
    { kind: 'capacitor', name: 'C7', a: 'L', b: 'L1', farads: 22e-6 },
    { kind: 'resistor', name: 'R4', a: 'L1', b: 'tip', ohms: null },
    { kind: 'load', name: 'J2 tip', a: 'tip', b: 'GND', ohms: 10e3 },
    { kind: 'voltage', name: 'right', a: 'R', b: 'GND', dc: 1.65, ohms: 20 },
    { kind: 'capacitor', name: 'C8', a: 'R', b: 'R1', farads: null },
    { kind: 'resistor', name: 'R5', a: 'R1', b: 'ring', ohms: 470 },
    { kind: 'load', name: 'J2 ring', a: 'ring', b: 'GND', ohms: 10e3 },
    { kind: 'voltage', name: 'supply', a: 'VSYS', b: 'GND', dc: 3.3 },
    { kind: 'capacitor', name: 'C12', a: 'VSYS', b: 'GND', farads: null },
    { kind: 'inductor', name: 'FB1', a: 'VSYS', b: 'VDD', henries: null, dcr: 0.1 },
  ],
};
const gain = (source: string, at: string) => (netlist: Netlist) => transfer(network(netlist).at(997), { source, at });

describe('what a figure needs', () => {
  test('only the values it hangs on, out of all that are missing', () => {
    expect(unknowns(board)).toEqual(['R4', 'C8', 'C12', 'FB1']);
    expect(needs(board, gain('left', 'tip'))).toEqual(['R4']);
    expect(needs(board, gain('right', 'ring'))).toEqual(['C8']);
    expect(needs(board, gain('supply', 'VSYS'))).toEqual([]);
    expect(needs(board, (netlist) => corner(network(netlist), { source: 'left', at: 'tip' }, 'high-pass'))).toEqual([
      'R4',
    ]);
    expect(needs(board, (netlist) => network(netlist).dc.solution.voltage('VSYS'))).toEqual([]);
  });

  test('two unknown values of one divider are both needed', () => {
    const divider: Netlist = {
      reference: 'GND',
      elements: [
        { kind: 'voltage', name: 'V', a: 'in', b: 'GND' },
        { kind: 'resistor', name: 'R1', a: 'in', b: 'out', ohms: null },
        { kind: 'resistor', name: 'R2', a: 'out', b: 'GND', ohms: null },
      ],
    };
    expect(needs(divider, gain('V', 'out'))).toEqual(['R1', 'R2']);
    expect(needs(divider, gain('V', 'in'))).toEqual([]);
  });

  test('a figure that cannot be told either way needs nothing', () => {
    expect(needs(board, () => null)).toEqual([]);
  });
});

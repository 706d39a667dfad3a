import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { decibels, phase, real } from '../../server/src/circuit/complex';
import type { Element, Netlist } from '../../server/src/circuit/netlist';
import { crosstalk, returnPath } from '../../server/src/circuit/return-path';
import { near } from './near';

/** Two outputs, their loads on one sleeve that reaches the chip's ground through `shared` Ω. */
function headphones(load: number, inside: number, shared: number, more: Element[] = []): Netlist {
  const side = (name: string, contact: string): Element[] => [
    { kind: 'voltage', name, a: contact, b: 'GND', ac: 1, ohms: inside },
    { kind: 'load', name: `${contact} load`, a: contact, b: 'sleeve', ohms: load },
  ];
  return {
    reference: 'GND',
    elements: [
      ...side('left', 'tip'),
      ...side('right', 'ring'),
      { kind: 'resistor', name: 'return', a: 'sleeve', b: 'GND', ohms: shared },
      ...more,
    ],
  };
}
const left = { source: 'left', at: 'tip', ref: 'sleeve' };
const right = { at: 'ring', ref: 'sleeve' };

describe('a return that two outputs share', () => {
  // −Rg/(RL + Rs + Rg) for the other side, Rt/(Rt + 2·Rg) for both in phase (Rt = RL + Rs), from the circuit.
  test.each([
    [32, 0, 0.05, -56.14, -0.0271],
    [32, 0, 0.1, -50.13, -0.0541],
    [32, 1, 0.1, -50.4, -0.0525],
    [32, 0, 1, -30.37, -0.527],
    [16, 0, 0.1, -44.14, -0.108],
    [16, 0, 1, -24.61, -1.023],
    [10e3, 100, 0.1, -100.1, -0.0002],
  ])(
    '%d Ω loads, %d Ω inside, %d Ω shared: crosstalk %d dB, inverted; in phase %d dB',
    (load, inside, shared, level, loss) => {
      const solved = network(headphones(load, inside, shared)).at(997);
      const ratio = crosstalk(solved, left, right)!;
      near(ratio, real(-shared / (load + inside + shared)), 1e-10);
      expect(ratio.re).toBeLessThan(0);
      expect(Math.abs(decibels(ratio) - level)).toBeLessThan(Math.abs(level) > 99 ? 0.05 : 0.006);
      const both = solved.solve({ left: 1, right: 1 }).between('tip', 'sleeve')!;
      const alone = network(headphones(load, inside, 0))
        .at(997)
        .solve({ left: 1, right: 1 })
        .between('tip', 'sleeve')!;
      expect(Math.abs(decibels(both) - decibels(alone) - loss)).toBeLessThan(0.0006);
    },
  );

  test('published: 0.1 Ω and 32 Ω are 320:1, about 50 dB (qastack 253546); 0.01 Ω and 600 Ω −96 dB (exactly −95.6)', () => {
    expect(1 / crosstalk(network(headphones(32, 0, 0.1)).at(997), left, right)!.re).toBeCloseTo(-321, 9);
    expect(decibels(crosstalk(network(headphones(600, 0, 0.01)).at(997), left, right)!)).toBeCloseTo(-95.56, 2);
  });

  test('1 Ω shared, 1 Ω inside, 32 Ω: levels against the EMF for left, both and opposed (simulated over 10 s)', () => {
    const solved = network(headphones(32, 1, 1)).at(997);
    const levels = (sources: Record<string, number>) => {
      const solution = solved.solve(sources);
      return [solution.between('tip', 'sleeve')!, solution.between('ring', 'sleeve')!].map((v) => decibels(v));
    };
    const expectLevels = (got: number[], wanted: number[]) => {
      for (const [k, level] of wanted.entries()) expect(got[k]).toBeCloseTo(level, 2);
    };
    expectLevels(levels({ left: 1, right: 0 }), [-0.52, -31.15]);
    expectLevels(levels({ left: 1, right: 1 }), [-0.78, -0.78]);
    expectLevels(levels({ left: 1, right: -1 }), [-0.27, -0.27]);
  });

  test('leakage between the sides has the same sign, a capacitance rises by 20 dB a decade and turns by 90°', () => {
    const leak = (ohms: number): Element => ({ kind: 'resistor', name: 'leak', a: 'tip', b: 'ring', ohms });
    const ratio = crosstalk(network(headphones(10e3, 100, 0, [leak(9.9e3)])).at(997), left, right)!;
    expect(ratio.re).toBeGreaterThan(0);
    // Into Rs ∥ RL through the leak.
    const beside = (100 * 10e3) / 10.1e3;
    near(ratio, real(beside / (beside + 9.9e3)), 1e-10);
    const stray: Element = { kind: 'capacitor', name: 'stray', a: 'tip', b: 'ring', farads: 100e-12 };
    const solve = (hertz: number) => crosstalk(network(headphones(10e3, 100, 0, [stray])).at(hertz), left, right)!;
    expect(decibels(solve(1000)) - decibels(solve(100))).toBeCloseTo(20, 5);
    expect(phase(solve(1000))).toBeCloseTo(90, 1);
  });

  test('nothing shared, nothing crosses; a quiet source gives no figure', () => {
    const solved = network(headphones(32, 0, 0)).at(997);
    expect(crosstalk(solved, left, right)!.re).toBeCloseTo(0, 15);
    expect(crosstalk(solved, { ...left, source: 'nobody' }, right)).toBeNull();
    expect(crosstalk(solved, { ...left, at: 'sleeve' }, right)).toBeNull();
  });
});

describe('the way home', () => {
  const board = (): Netlist => ({
    reference: 'chip',
    elements: [
      { kind: 'voltage', name: 'left', a: 'tip', b: 'chip', ac: 1, ohms: 20 },
      { kind: 'voltage', name: 'right', a: 'ring', b: 'chip', ac: 1, ohms: 20 },
      { kind: 'load', name: 'left load', a: 'tip', b: 'sleeve', ohms: 32 },
      { kind: 'load', name: 'right load', a: 'ring', b: 'sleeve', ohms: 32 },
      { kind: 'inductor', name: 'FB2', a: 'sleeve', b: 'plane', henries: 0, dcr: 0.3 },
      { kind: 'resistor', name: 'R20', a: 'plane', b: 'chip', ohms: 0.1 },
      { kind: 'resistor', name: 'R21', a: 'sleeve', b: 'chip', ohms: 3.6 },
      { kind: 'resistor', name: 'R22', a: 'plane', b: 'elsewhere', ohms: 1 },
    ],
  });
  const away = ['left', 'right', 'left load', 'right load'];

  test('goes through the branches that carry most of it, each with its share', () => {
    const path = returnPath(network(board()).at(997), 'sleeve', 'chip', away)!;
    expect(path.map((branch) => branch.name)).toEqual(['FB2', 'R20']);
    // 0.4 Ω beside 3.6 Ω carry nine tenths.
    for (const branch of path) near(branch.share, real(0.9), 1e-9);
  });

  test('is empty in one piece of copper and null where there is none', () => {
    const solved = network(board()).at(997);
    expect(returnPath(solved, 'chip', 'chip', away)).toEqual([]);
    expect(returnPath(solved, 'sleeve', 'nowhere', away)).toBeNull();
    expect(returnPath(solved.with([{ open: 'FB2' }, { open: 'R21' }]), 'sleeve', 'chip', away)).toBeNull();
  });

  test('crosstalk over a shared resistance is −Rg/(RL + Rs + Rg)', () => {
    const solved = network(headphones(32, 1, 0.1)).at(997);
    near(crosstalk(solved, left, right)!, real(-0.1 / 33.1), 1e-9);
  });
});

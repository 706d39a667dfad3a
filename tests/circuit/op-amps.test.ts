import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { magnitude, real } from '../../server/src/circuit/complex';
import type { Netlist } from '../../server/src/circuit/netlist';
import { impedanceBetween, transfer } from '../../server/src/circuit/transfer';
import { near } from './near';
import { stages } from './stages';

describe('op-amp stages against their closed forms', () => {
  test.each(stages.map((stage) => [stage.name, stage] as const))('%s', (_, { netlist, gain, lowest }) => {
    const board = network(netlist);
    for (const hertz of [0, 1, 20, 159.15, 997, 20e3, 1e6]) {
      if (hertz < (lowest ?? 0)) continue;
      near(
        transfer(board.at(hertz), { source: 'V', at: 'out' }),
        gain(hertz),
        1e-10,
        Math.max(magnitude(gain(hertz)), 1e-6),
      );
    }
    // Whatever hangs on an ideal output, it looks like 0 Ω.
    if (!lowest) expect(magnitude(impedanceBetween(board.at(997), 'out', '0')!)).toBeLessThan(1e-9);
  });

  test('the output gives what the load takes', () => {
    const { dc } = network(stages[0]!.netlist);
    expect(dc.solution.current('U1')!.re).toBeCloseTo(-1 / 600, 12);
  });
});

describe('amplifiers and bridges as controlled sources', () => {
  // 20 dB as two opposed halves, each 1 Ω: the bridge doubles the voltage of one side and its inside resistance.
  const half = (name: string, out: string, gain: number) =>
    ({ kind: 'vcvs', name, a: out, b: '0', plus: 'in', minus: '0', gain, ohms: 1 }) as const;
  const bridge: Netlist = {
    reference: '0',
    elements: [
      { kind: 'voltage', name: 'V', a: 'in', b: '0', ac: 0.1 },
      half('U1 +', 'p', 10),
      half('U1 −', 'n', -10),
      { kind: 'load', name: 'LS1', a: 'p', b: 'n', ohms: 8 },
    ],
  };

  test('a bridge: twice the voltage, opposed legs, the load between them', () => {
    const solution = network(bridge).at(997).solve();
    near(solution.between('p', 'n'), real(2 * 0.8), 1e-12);
    near(solution.voltage('p'), real(0.8), 1e-12);
    near(solution.voltage('n'), real(-0.8), 1e-12);
    expect(solution.power('LS1')).toBeCloseTo(1.6 ** 2 / 8, 12);
    near(impedanceBetween(network(bridge).at(997), 'p', 'n', ['LS1']), real(2), 1e-12);
  });

  test('one leg on ground: the other drives half the load alone', () => {
    const grounded = network(bridge)
      .at(997)
      .with([{ bridge: ['n', '0'], ohms: 0, name: 'slip' }])
      .solve();
    near(grounded.between('p', 'n'), real((1 * 8) / 9), 1e-12);
    // What the silenced leg puts into the slip.
    near(grounded.current('slip'), real(-1 + 8 / 9 / 8), 1e-12);
  });

  test('a transconductance into a resistor', () => {
    const solution = network({
      reference: '0',
      elements: [
        { kind: 'voltage', name: 'V', a: 'in', b: '0', dc: 1 },
        { kind: 'vccs', name: 'Q1', a: 'out', b: '0', plus: 'in', minus: '0', siemens: 5e-3 },
        { kind: 'resistor', name: 'R1', a: 'out', b: '0', ohms: 1000 },
      ],
    }).dc.solution;
    near(solution.voltage('out'), real(-5), 1e-12);
    near(solution.current('Q1'), real(5e-3), 1e-12);
    near(solution.current('R1'), real(-5e-3), 1e-12);
  });

  test('a current source flows out of `b`', () => {
    const solution = network({
      reference: '0',
      elements: [
        { kind: 'current', name: 'I1', a: '0', b: 'x', dc: 2e-3 },
        { kind: 'resistor', name: 'R1', a: 'x', b: '0', ohms: 1000 },
      ],
    }).dc.solution;
    near(solution.voltage('x'), real(2), 1e-12);
    near(solution.current('I1'), real(2e-3), 1e-12);
    expect(solution.power('I1')).toBeCloseTo(-4e-3, 12);
  });
});

import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { floatingText } from '../../server/src/circuit/floating';
import type { Element, Netlist } from '../../server/src/circuit/netlist';
import { impedanceBetween } from '../../server/src/circuit/transfer';

const on = (elements: Element[]): Netlist => ({ reference: 'GND', elements });
const resistor = (name: string, a: string, b: string, ohms: number): Element => ({
  kind: 'resistor',
  name,
  a,
  b,
  ohms,
});
const capacitor = (name: string, a: string, b: string, farads = 1e-6): Element => ({
  kind: 'capacitor',
  name,
  a,
  b,
  farads,
});
const supply = (name: string, a: string, dc: number, b = 'GND'): Element => ({
  kind: 'voltage',
  name,
  a,
  b,
  dc,
  ac: 0,
});
const said = (netlist: Netlist, hertz = 0) =>
  network(netlist)
    .at(hertz)
    .floating.map((part) => floatingText(part, hertz));

describe('what nothing determines is named, and the rest solved', () => {
  const coupled = on([
    supply('U1.14', 'pin', 1.65),
    capacitor('C7', 'pin', 'x', 22e-6),
    resistor('R4', 'x', 'tip', 470),
    supply('BT1', 'VBAT', 3.7),
    resistor('R1', 'VBAT', 'VSYS', 100),
    resistor('R2', 'VSYS', 'GND', 900),
  ]);

  test('a coupling capacitor without a bleeder', () => {
    expect(said(coupled)).toEqual(['C7 – R4 floats at DC']);
    const { solution, solved } = network(coupled).dc;
    expect(solved.floating[0]!.nodes).toEqual(['x', 'tip']);
    expect(solution.voltage('tip')).toBeNull();
    expect(solution.voltage('x')).toBeNull();
    // Inside the floating part no current flows, so that much is known; across its edge nothing is.
    expect(solution.between('x', 'tip')!.re).toBe(0);
    expect(solution.current('R4')!.re).toBe(0);
    expect(solution.across('C7')).toBeNull();
    expect(solution.current('C7')!.re).toBe(0);
    expect(solution.voltage('VSYS')!.re).toBeCloseTo(3.33, 12);
    expect(solution.contradictions).toEqual([]);
    expect(solution.residual).toBeLessThan(1e-15);
  });

  test('the same at audio has a way through the capacitor', () => {
    expect(said(coupled, 997)).toEqual([]);
    expect(network(coupled).at(997).solve({ 'U1.14': 1 }).voltage('tip')!.re).toBeCloseTo(1, 12);
  });

  test('a bleeder settles it, made as a change too', () => {
    const bled = network(coupled)
      .at(0)
      .with([{ bridge: ['tip', 'GND'], ohms: 100e3, name: 'leak' }]);
    expect(bled.floating).toEqual([]);
    expect(bled.solve().voltage('tip')!.re).toBe(0);
    expect(bled.solve().across('C7')!.re).toBeCloseTo(1.65, 12);
  });

  test('an opened part that held a node up leaves it floating, at any frequency', () => {
    const cut = network(coupled)
      .at(997)
      .with([{ open: 'C7' }]);
    expect(cut.floating.map((part) => floatingText(part, 997))).toEqual(['C7 – R4 floats']);
    expect(cut.solve({ 'U1.14': 1 }).voltage('tip')).toBeNull();
  });

  test('a battery on nothing: its voltage is known, its potential is not', () => {
    const loose = on([
      supply('BT1', 'plus', 3.7, 'minus'),
      resistor('R1', 'plus', 'minus', 370),
      resistor('R2', 'y', 'GND', 1),
    ]);
    const { solution } = network(loose).dc;
    expect(solution.voltage('plus')).toBeNull();
    expect(solution.between('plus', 'minus')!.re).toBeCloseTo(3.7, 12);
    expect(solution.current('R1')!.re).toBeCloseTo(0.01, 12);
    expect(said(loose)).toEqual(['BT1 – R1 floats at DC']);
    expect(impedanceBetween(network(loose).at(997), 'plus', 'minus', ['BT1'])!.re).toBeCloseTo(370, 9);
    expect(impedanceBetween(network(loose).at(997), 'plus', 'GND')).toBeNull();
  });

  test('two floating parts are two, and long ones are shortened', () => {
    const chain = (from: string, count: number) =>
      Array.from({ length: count }, (_, k) => resistor(`${from}R${k}`, `${from}${k}`, `${from}${k + 1}`, 10));
    expect(said(on([...chain('a', 2), ...chain('b', 6), resistor('R9', 'z', 'GND', 1)]))).toEqual(
      expect.arrayContaining(['aR0 – aR1 floats at DC', 'bR0 – bR1 – bR2 – 3 more floats at DC']),
    );
  });

  test('an op-amp without feedback at DC leaves its output open, and what hangs on it', () => {
    const integrator = on([
      supply('U1', 'in', 1),
      resistor('R1', 'in', 'minus', 10e3),
      { kind: 'op-amp', name: 'U2', plus: 'GND', minus: 'minus', out: 'out' },
      capacitor('C1', 'minus', 'out'),
      resistor('R2', 'out', 'tip', 100),
      resistor('R3', 'tip', 'GND', 100),
    ]);
    const { solution, solved } = network(integrator).dc;
    expect(solution.voltage('out')).toBeNull();
    expect(solution.voltage('tip')).toBeNull();
    expect(solved.floating[0]!.nodes).toEqual(['out', 'tip']);
    // 0.1 mA into a node with no way out: the equations contradict each other, and say where.
    expect(solution.contradictions.length).toBeGreaterThan(0);
    // −1/(jωRC) at audio.
    expect(network(integrator).at(997).solve({ U1: 1 }).voltage('out')!.im).toBeCloseTo(
      1 / (2 * Math.PI * 997 * 0.01),
      9,
    );
  });

  test('an op-amp whose input floats has no output either', () => {
    const follower = on([
      capacitor('C1', 'in', 'plus'),
      supply('U1', 'in', 1.65),
      { kind: 'op-amp', name: 'U2', plus: 'plus', minus: 'out', out: 'out' },
      resistor('R2', 'out', 'GND', 1000),
    ]);
    const { solution } = network(follower).dc;
    expect(solution.voltage('plus')).toBeNull();
    expect(solution.voltage('out')).toBeNull();
    expect(solution.current('R2')).toBeNull();
    expect(solution.voltage('in')!.re).toBe(1.65);
    expect(network(follower).at(20).solve({ U1: 1 }).voltage('out')!.re).toBeCloseTo(1, 12);
  });

  test('ideal inductors side by side share a current that nothing divides; the voltages stand', () => {
    const coils = on([
      supply('BT1', 'in', 5),
      { kind: 'inductor', name: 'L1', a: 'in', b: 'out', henries: 1e-3 },
      { kind: 'inductor', name: 'L2', a: 'in', b: 'out', henries: 2e-3 },
      resistor('R1', 'out', 'GND', 500),
    ]);
    const { solution } = network(coils).dc;
    expect(said(coils)).toEqual(['the current round L1 – L2 is not determined']);
    expect(solution.voltage('out')!.re).toBeCloseTo(5, 12);
    expect(solution.current('R1')!.re).toBeCloseTo(0.01, 12);
    expect(solution.current('L1')).toBeNull();
    expect(network(coils).at(997).floating).toEqual([]);
  });

  test('equal ideal sources side by side agree; unequal ones contradict each other and leave what they feed unknown', () => {
    const two = (volts: number) =>
      on([
        supply('BT1', 'rail', 3.3),
        supply('U4', 'rail', volts),
        resistor('R1', 'rail', 'led', 1000),
        resistor('R2', 'led', 'GND', 1000),
        supply('BT2', 'other', 5),
        resistor('R3', 'other', 'GND', 1000),
      ]);
    const agree = network(two(3.3)).dc.solution;
    expect(agree.contradictions).toEqual([]);
    expect(agree.voltage('led')!.re).toBeCloseTo(1.65, 12);
    expect(agree.current('BT1')).toBeNull();
    const differ = network(two(5)).dc.solution;
    expect(differ.contradictions).toEqual(['BT1', 'U4']);
    expect(differ.voltage('rail')).toBeNull();
    expect(differ.voltage('led')).toBeNull();
    expect(differ.voltage('other')!.re).toBe(5);
  });

  test('a source shorted by copper contradicts itself', () => {
    const short = on([supply('BT1', 'rail', 3.3), resistor('R1', 'rail', 'GND', 0), resistor('R2', 'rail', 'GND', 10)]);
    const { solution } = network(short).dc;
    expect(solution.contradictions).toEqual(['BT1', 'R1']);
    expect(solution.voltage('rail')).toBeNull();
    expect(solution.current('BT1')).toBeNull();
  });

  test('a current driven into a floating part has nowhere to go, and is named', () => {
    const stuck = on([
      { kind: 'current', name: 'I1', a: 'GND', b: 'x', dc: 1e-3 },
      resistor('R1', 'x', 'y', 100),
      supply('BT1', 'rail', 3.3),
    ]);
    const { solution } = network(stuck).dc;
    expect(solution.contradictions).toEqual(['x']);
    expect(solution.voltage('y')).toBeNull();
    expect(solution.voltage('rail')!.re).toBe(3.3);
  });

  test('unknown, absent, infinite and zero values, parts on one node: never NaN', () => {
    const odd = on([
      supply('BT1', 'in', 1),
      { kind: 'resistor', name: 'R1', a: 'in', b: 'x', ohms: null },
      { kind: 'capacitor', name: 'C1', a: 'in', b: 'y', farads: 0 },
      { kind: 'inductor', name: 'L1', a: 'in', b: 'z', henries: null },
      { kind: 'load', name: 'J1', a: 'in', b: 'GND', ohms: Number.POSITIVE_INFINITY },
      { kind: 'load', name: 'J2', a: 'x', b: 'x', ohms: 0 },
      { kind: 'load', name: 'J3', a: 'x', b: 'x', ohms: 10 },
      resistor('R2', 'in', 'w', 0),
      resistor('R3', 'w', 'GND', 50),
    ]);
    for (const hertz of [0, 997]) {
      const solution = network(odd).at(hertz).solve({ BT1: 1 });
      for (const node of ['in', 'w']) expect(solution.voltage(node)!.re).toBeCloseTo(1, 14);
      for (const node of ['x', 'y', 'nowhere']) expect(solution.voltage(node)).toBeNull();
      // An inductor of unknown value is a wire at DC and left out else.
      expect(solution.voltage('z')?.re).toBe(hertz === 0 ? 1 : undefined);
      expect(solution.current('R1')).toEqual({ re: 0, im: 0 });
      expect(solution.current('R2')!.re).toBeCloseTo(0.02, 14);
      expect(solution.current('nobody')).toBeNull();
    }
  });

  test('an empty network, and one without its reference', () => {
    expect(network(on([])).dc.solution.voltage('GND')).toEqual({ re: 0, im: 0 });
    expect(network(on([])).at(997).floating).toEqual([]);
    const lost = network(on([supply('BT1', 'p', 3, 'm')])).dc.solution;
    expect(lost.voltage('p')).toBeNull();
    expect(lost.between('p', 'm')!.re).toBe(3);
  });
});

import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { decibels, phase } from '../../server/src/circuit/complex';
import { corner, cornerOf } from '../../server/src/circuit/corner';
import type { Element, Netlist } from '../../server/src/circuit/netlist';
import { transfer } from '../../server/src/circuit/transfer';

const ground = 'GND';
const source = (ohms = 0): Element => ({ kind: 'voltage', name: 'U1', a: 'pin', b: ground, ac: 1, ohms });
const highPass = (ohms: number, farads: number): Netlist => ({
  reference: ground,
  elements: [
    source(),
    { kind: 'capacitor', name: 'C7', a: 'pin', b: 'tip', farads },
    { kind: 'load', name: 'J2', a: 'tip', b: ground, ohms },
  ],
});
const lowPass = (ohms: number, farads: number): Netlist => ({
  reference: ground,
  elements: [
    source(),
    { kind: 'resistor', name: 'R4', a: 'pin', b: 'tip', ohms },
    { kind: 'capacitor', name: 'C9', a: 'tip', b: ground, farads },
  ],
});
const path = { source: 'U1', at: 'tip' };

// fc = 1/(2πRC), evaluated to six digits and more; the published figures stand beside.
const table: [number, number, number, string][] = [
  [16, 220e-6, 45.2145, '"45 Hz": Wolfson WAN-0131'],
  [32, 220e-6, 22.6072, '"22.5 Hz", half of a rounded 45: planetanalog.com'],
  [16, 100e-6, 99.4718, '"100 Hz": MAX9725 data sheet'],
  [32, 100e-6, 49.7359, 'no published figure'],
  [10e3, 1e-6, 15.9155, 'no published figure'],
  [47e3, 1e-6, 3.38628, 'no published figure'],
  [22e3, 1e-6, 7.23432, 'no published figure'],
  [1e3, 1e-9, 159154.94, 'no published figure'],
  [470, 2.2e-9, 153921.6, 'no published figure'],
  [100, 1e-9, 1591549, 'no published figure'],
];

describe('−3 dB corners', () => {
  test.each(table)('%d Ω and %d F: %d Hz (%s)', (ohms, farads, wanted) => {
    const exact = 1 / (2 * Math.PI * ohms * farads);
    // Six digits are printed.
    expect(Math.abs(exact / wanted - 1)).toBeLessThan(2e-6);
    // Audio passes the low ones as a coupling, the high ones as a roll-off.
    const found =
      exact < 1000
        ? corner(network(highPass(ohms, farads)), path, 'high-pass')
        : corner(network(lowPass(ohms, farads)), path, 'low-pass');
    expect(Math.abs(found! / exact - 1)).toBeLessThan(1e-6);
  });

  test.each([
    [0.1, -20.0432, 84.29],
    [0.5, -6.9897, 63.43],
    [1, -3.0103, 45],
    [2, -0.9691, 26.57],
    [10, -0.0432, 5.71],
  ])('first order at %d times the corner: %d dB and %d°, mirrored for a low-pass', (ratio, level, degrees) => {
    const exact = 1 / (2 * Math.PI * 10e3 * 1e-6);
    const high = transfer(network(highPass(10e3, 1e-6)).at(ratio * exact), path)!;
    expect(decibels(high)).toBeCloseTo(level, 3.5);
    expect(phase(high)).toBeCloseTo(degrees, 1.5);
    const low = transfer(network(lowPass(10e3, 1e-6)).at(exact / ratio), path)!;
    expect(decibels(low)).toBeCloseTo(level, 3.5);
    expect(phase(low)).toBeCloseTo(-degrees, 1.5);
  });

  test('two equal buffered sections: fc/0.643594 as high-pass, fc·0.643594 as low-pass (√(√2 − 1))', () => {
    const twice = (one: Element[]): Netlist => ({
      reference: ground,
      elements: [
        source(),
        ...one,
        { kind: 'op-amp', name: 'U2', plus: 'x', minus: 'y', out: 'y' },
        ...one.map((element) => ({
          ...element,
          name: `${element.name} again`,
          a: 'a' in element && element.a === 'pin' ? 'y' : 'tip',
          b: 'b' in element && element.b === 'x' ? 'tip' : ground,
        })),
      ] as Element[],
    });
    const exact = 1 / (2 * Math.PI * 22e3 * 1e-6);
    const high = twice([
      { kind: 'capacitor', name: 'C1', a: 'pin', b: 'x', farads: 1e-6 },
      { kind: 'resistor', name: 'R1', a: 'x', b: ground, ohms: 22e3 },
    ]);
    expect(corner(network(high), path, 'high-pass')! / exact).toBeCloseTo(1 / 0.643594, 5);
    const low = twice([
      { kind: 'resistor', name: 'R1', a: 'pin', b: 'x', ohms: 22e3 },
      { kind: 'capacitor', name: 'C1', a: 'x', b: ground, farads: 1e-9 },
    ]);
    expect(corner(network(low), path, 'low-pass')! / (exact * 1000)).toBeCloseTo(0.643594, 5);
  });

  test('source and load lie round the same loop: 20 Ω + 470 Ω + (1 k ∥ 10 k) with 22 µF', () => {
    const loop = (load: number): Netlist => ({
      reference: ground,
      elements: [
        source(20),
        { kind: 'capacitor', name: 'C7', a: 'pin', b: 'x', farads: 22e-6 },
        { kind: 'resistor', name: 'R4', a: 'x', b: 'tip', ohms: 470 },
        { kind: 'resistor', name: 'R6', a: 'tip', b: ground, ohms: 1000 },
        { kind: 'load', name: 'J2', a: 'tip', b: ground, ohms: load },
      ],
    });
    for (const load of [10e3, 600, 32]) {
      const exact = 1 / (2 * Math.PI * 22e-6 * (490 + 1 / (1 / 1000 + 1 / load)));
      expect(corner(network(loop(load)), path, 'high-pass')! / exact).toBeCloseTo(1, 7);
    }
    expect(corner(network(loop(10e3)), path, 'low-pass')).toBeNull();
  });

  test('both ends of one band, and a resonance above it does not move the lower one', () => {
    // Second-order output filter with hardly a load: the peak near 50 kHz is 30 dB high.
    const netlist: Netlist = {
      reference: ground,
      elements: [
        source(),
        { kind: 'capacitor', name: 'C7', a: 'pin', b: 'x', farads: 10e-6 },
        { kind: 'inductor', name: 'L1', a: 'x', b: 'tip', henries: 10e-6, dcr: 0.05 },
        { kind: 'capacitor', name: 'C9', a: 'tip', b: ground, farads: 1e-6 },
        { kind: 'load', name: 'J2', a: 'tip', b: ground, ohms: 1000 },
      ],
    };
    // That low C9 lies beside the load: fc = 1/(2π·R·(C7 + C9)). The band between the corner and the peak is flat to 0.05 %.
    const exact = 1 / (2 * Math.PI * 1000 * 11e-6);
    expect(corner(network(netlist), path, 'high-pass')! / exact).toBeCloseTo(1, 2.5);
  });

  test('a flat stretch far below the band is not taken for it', () => {
    // Zero at 1 Hz, pole at 300 Hz, roll-off from 3 kHz: −50 dB all the way down.
    const gain = (hertz: number) =>
      (Math.hypot(1, hertz) / 300 / Math.hypot(1, hertz / 300)) * (1 / Math.hypot(1, hertz / 3000));
    const found = cornerOf(gain, 'high-pass')!;
    // Against the top of the band, √(300 · 3000) Hz, an octave grid beside it: 1 %.
    const level = gain(Math.sqrt(300 * 3000)) / gain(found);
    expect(level / Math.SQRT2).toBeCloseTo(1, 2);
    expect(found).toBeGreaterThan(200);
  });

  test('a corner above or below the audio band is found from its own side', () => {
    const high = corner(network(highPass(1000, 1 / (2 * Math.PI * 1000 * 5000))), path, 'high-pass')!;
    expect(high / 5000).toBeCloseTo(1, 3.5);
    const low = corner(network(lowPass(1000, 1 / (2 * Math.PI * 1000 * 200))), path, 'low-pass')!;
    expect(low / 200).toBeCloseTo(1, 3.5);
  });

  test('none where the level never falls, or nothing arrives', () => {
    const resistors: Netlist = {
      reference: ground,
      elements: [
        source(),
        { kind: 'resistor', name: 'R4', a: 'pin', b: 'tip', ohms: 470 },
        { kind: 'load', name: 'J2', a: 'tip', b: ground, ohms: 1000 },
      ],
    };
    expect(corner(network(resistors), path, 'high-pass')).toBeNull();
    expect(corner(network(resistors), path, 'low-pass')).toBeNull();
    const broken = {
      ...resistors,
      elements: resistors.elements.with(1, { ...resistors.elements[1]!, ohms: null } as Element),
    };
    expect(corner(network(broken), path, 'high-pass')).toBeNull();
    expect(corner(network(resistors), { source: 'U1', at: 'nowhere' }, 'high-pass')).toBeNull();
    expect(cornerOf(() => null, 'low-pass')).toBeNull();
  });
});

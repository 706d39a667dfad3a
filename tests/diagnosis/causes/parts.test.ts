import { describe, expect, test } from 'vitest';
import { network } from '../../../server/src/circuit/ac';
import { density, given, logSum } from '../../../server/src/diagnosis/causes/gauss';
import { confusable } from '../../../server/src/diagnosis/causes/hypotheses/parts';
import { information } from '../../../server/src/diagnosis/causes/next-probe';
import { Ports, View } from '../../../server/src/diagnosis/causes/ports';
import { odds } from '../../../server/src/diagnosis/causes/priors';
import { randomNetwork } from '../../circuit/random-network';

describe('densities', () => {
  // Closed form of the bivariate normal, any textbook: exponent −(x²−2ρxy+y²)/(2(1−ρ²)), constant 1/(2π√(1−ρ²)).
  test('two figures with a correlation', () => {
    const [x, y, rho] = [0.7, -0.4, 0.6];
    const made = density(Float64Array.of(x, y), Float64Array.of(1, rho, rho, 1));
    const square = (x * x - 2 * rho * x * y + y * y) / (1 - rho * rho);
    expect(made.square).toBeCloseTo(square, 12);
    expect(made.log).toBeCloseTo(-square / 2 - Math.log(2 * Math.PI * Math.sqrt(1 - rho * rho)), 12);
    // One of them given the other: mean ρ·y, variance 1 − ρ².
    const one = given(made, 2, 0, 1);
    const miss = (x - rho * y) ** 2 / (1 - rho * rho);
    expect(one.square).toBeCloseTo(miss, 12);
    expect(one.log).toBeCloseTo(-0.5 * (miss + Math.log(2 * Math.PI * (1 - rho * rho))), 12);
  });

  test('what all have in common times what is given: ln p(a, b) = ln p(a | b) + ln p(b), for a block of two', () => {
    const k = Float64Array.of(2, 0.3, 0.5, 0.3, 1, -0.2, 0.5, -0.2, 1.5);
    const made = density(Float64Array.of(0.2, -1, 0.6), k.slice());
    const last = -0.5 * (Math.log(2 * Math.PI * 1.5) + 0.6 ** 2 / 1.5);
    expect(given(made, 3, 0, 2).log + last).toBeCloseTo(made.log, 12);
  });

  test('sums of exponentials do not overflow', () => expect(logSum([1000, 1000])).toBeCloseTo(1000 + Math.LN2, 12));
});

describe('changes seen from ports', () => {
  // Held against the circuit room, which factors the changed network from its own equations.
  test('two changes at once give what the changed network gives, on random networks with controlled sources too', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const netlist = randomNetwork(seed);
      const hertz = 100 * seed;
      const ports = new Ports(network(netlist).at(hertz));
      const voltage = netlist.elements.find(({ kind }) => kind === 'voltage')!;
      const pairs = [
        ['n1', '0'],
        ['n2', 'n3'],
      ] as const;
      const siemens = [
        { re: 0.02, im: 0 },
        { re: 0.001, im: 0.004 },
      ];
      const view = new View(
        ports,
        pairs.map(([a, b], k) => ({ port: ports.port(a, b)!, siemens: siemens[k]! })),
      );
      const farads = 0.004 / (2 * Math.PI * hertz);
      const changed = network({
        ...netlist,
        elements: [
          ...netlist.elements,
          { kind: 'resistor', name: 'one', a: 'n1', b: '0', ohms: 50 },
          { kind: 'resistor', name: 'two', a: 'n2', b: 'n3', ohms: 1000 },
          { kind: 'capacitor', name: 'three', a: 'n2', b: 'n3', farads },
        ],
      }).at(hertz);
      const probe = ports.port('n3', 'n1')!;
      const ours = view.across(ports.response(voltage.name), probe);
      const theirs = changed.solve({ [voltage.name]: 1 }).between('n3', 'n1')!;
      const size = Math.hypot(theirs.re, theirs.im) + 1e-9;
      expect(Math.hypot(ours.re - theirs.re, ours.im - theirs.im) / size).toBeLessThan(1e-6);
    }
  });
});

describe('expected information', () => {
  test('causes that a measurement leaves alike give nothing', () =>
    expect(
      information(
        [0.5, 0.5],
        [
          [0, 0],
          [0, 0],
        ],
      ),
    ).toBe(0));
  test('four even causes, all told apart, are two bits', () => {
    const far = (i: number) => [0, 1, 2, 3].map((j) => (i === j ? 0 : 1e4));
    expect(information([0.25, 0.25, 0.25, 0.25], [0, 1, 2, 3].map(far))).toBeCloseTo(2, 9);
  });
});

describe('priors', () => {
  test('a side turned over is at least a tenth as likely as another mode', () =>
    expect(odds['polarity-reversed']).toBeGreaterThanOrEqual(odds['output-mode'] / 10));

  test('values confused in print: decades, and codes turned upside down (681 is 189 then, no value; 910 Ω, 911, is 116)', () => {
    const values = confusable(1600, 'resistor').map(({ value }) => value);
    expect(values).toEqual(expect.arrayContaining([160, 16e3]));
    // 162 is no code upside down: 2 has no other way up.
    expect(values).toHaveLength(4);
    // 160 Ω is printed 161: upside down 191, 190 Ω is no E24 value. 91 kΩ, 913: 3 has none. 68 MΩ … 686 is 989: none either.
    expect(confusable(160, 'resistor')).toHaveLength(4);
    // 11 Ω is printed 110: upside down 011, no code. 910 Ω is printed 911: upside down 116, 11 MΩ, an E24 value.
    expect(confusable(910, 'resistor').map(({ value }) => value)).toContain(11e6);
  });
});

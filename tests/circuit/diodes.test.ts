import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { magnitude } from '../../server/src/circuit/complex';
import { operatingPoint } from '../../server/src/circuit/dc';
import type { Element, Netlist } from '../../server/src/circuit/netlist';
import { seeded } from './draw';
import { randomNetwork } from './random-network';

const on = (elements: Element[]): Netlist => ({ reference: 'GND', elements });
const resistor = (name: string, a: string, b: string, ohms: number): Element => ({
  kind: 'resistor',
  name,
  a,
  b,
  ohms,
});
const supply = (name: string, a: string, dc: number): Element => ({ kind: 'voltage', name, a, b: 'GND', dc });
const diode = (name: string, a: string, b: string, drop = 0.6, breakdown?: number): Element => ({
  kind: 'diode',
  name,
  a,
  b,
  drop,
  ...(breakdown ? { breakdown } : {}),
});

describe('diodes to first order', () => {
  test('two in a row both conduct, and both stay off below their sum', () => {
    const row = (volts: number) =>
      operatingPoint(
        on([
          supply('V', 'in', volts),
          resistor('R1', 'in', 'x', 100),
          diode('D1', 'x', 'y'),
          diode('LED1', 'y', 'GND', 2),
        ]),
      );
    const high = row(3.6);
    expect([...high.diodes.values()]).toEqual(['forward', 'forward']);
    expect(high.solution.current('LED1')!.re).toBeCloseTo(0.01, 12);
    const low = row(2.5);
    expect(low.settled).toBe(true);
    expect(low.solution.current('LED1')!.re).toBe(0);
    expect(low.solution.voltage('x')!.re).toBeCloseTo(2.5, 12);
    // The first one holds what nothing loads, as a meter would find it.
    expect(low.solution.voltage('y')!.re).toBeCloseTo(1.9, 12);
  });

  test('one that feeds only capacitors and pins holds them a drop away from its supply, one turned round does not', () => {
    const rail = (volts: number, from: string, to: string) =>
      operatingPoint(
        on([
          supply('V', 'in', volts),
          diode('D1', from, to, 0.3),
          { kind: 'capacitor', name: 'C1', a: 'rail', b: 'GND', farads: 1e-5 },
        ]),
      ).solution.voltage('rail');
    expect(rail(5, 'in', 'rail')!.re).toBeCloseTo(4.7, 12);
    expect(rail(-12, 'rail', 'in')!.re).toBeCloseTo(-11.7, 12);
    expect(rail(5, 'rail', 'in')).toBeNull();
  });

  test('of two rails through diodes the higher one feeds', () => {
    const { solution, diodes } = operatingPoint(
      on([
        supply('VBUS', 'usb', 5),
        supply('BT1', 'cell', 3.7),
        diode('D1', 'usb', 'sys', 0.3),
        diode('D2', 'cell', 'sys', 0.3),
        resistor('R1', 'sys', 'GND', 470),
      ]),
    );
    expect(solution.voltage('sys')!.re).toBeCloseTo(4.7, 12);
    expect(diodes.get('D2')).toBe('off');
    expect(solution.across('D2')!.re).toBeCloseTo(-1, 12);
  });

  test('beside an LED a silicon diode takes the current', () => {
    const { solution, diodes, settled } = operatingPoint(
      on([
        supply('V', 'in', 5),
        resistor('R1', 'in', 'x', 440),
        diode('LED1', 'x', 'GND', 2),
        diode('D1', 'x', 'GND', 0.6),
      ]),
    );
    expect(settled).toBe(true);
    expect(diodes.get('LED1')).toBe('off');
    expect(solution.current('D1')!.re).toBeCloseTo(0.01, 12);
  });

  test('a bridge of four rectifies either way round', () => {
    for (const volts of [12, -12]) {
      const { solution, settled } = operatingPoint(
        on([
          { kind: 'voltage', name: 'V', a: 'ac1', b: 'ac2', dc: volts, ohms: 1 },
          diode('D1', 'ac1', '+', 0.7),
          diode('D2', 'ac2', '+', 0.7),
          diode('D3', 'GND', 'ac1', 0.7),
          diode('D4', 'GND', 'ac2', 0.7),
          resistor('R1', '+', 'GND', 105),
        ]),
      );
      expect(settled).toBe(true);
      expect(solution.voltage('+')!.re).toBeCloseTo((10.6 * 105) / 106, 10);
    }
  });

  test('a zener holds in reverse, lets go below, and conducts like any diode when fitted backwards', () => {
    const zener = (volts: number) =>
      operatingPoint(on([supply('V', 'in', volts), resistor('R1', 'in', 'x', 100), diode('D1', 'GND', 'x', 0.7, 5.1)]));
    expect(zener(9).solution.voltage('x')!.re).toBeCloseTo(5.1, 12);
    expect(zener(9).diodes.get('D1')).toBe('breakdown');
    expect(zener(9).solution.current('R1')!.re).toBeCloseTo(0.039, 12);
    expect(zener(4).solution.voltage('x')!.re).toBeCloseTo(4, 12);
    expect(zener(-9).solution.voltage('x')!.re).toBeCloseTo(-0.7, 12);
  });

  test('its own resistance is in series', () => {
    const { solution } = operatingPoint(
      on([
        supply('V', 'in', 3),
        resistor('R1', 'in', 'x', 90),
        { kind: 'diode', name: 'D1', a: 'x', b: 'GND', drop: 2, ohms: 10 },
      ]),
    );
    expect(solution.current('D1')!.re).toBeCloseTo(0.01, 12);
    expect(solution.voltage('x')!.re).toBeCloseTo(2.1, 12);
  });

  test('at audio a diode passes while it conducts at rest, and is open else', () => {
    const clamp = (bias: number) =>
      network(
        on([
          { kind: 'voltage', name: 'V', a: 'in', b: 'GND', dc: bias, ac: 1 },
          resistor('R1', 'in', 'x', 1000),
          { kind: 'diode', name: 'D1', a: 'x', b: 'GND', drop: 0.6, ohms: 10 },
        ]),
      ).at(997);
    expect(magnitude(clamp(0.3).solve().voltage('x')!)).toBeCloseTo(1, 12);
    expect(magnitude(clamp(3).solve().voltage('x')!)).toBeCloseTo(10 / 1010, 12);
  });

  test('in any passive network the states found fit: none conducts backwards, none withholds its drop', () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const netlist = randomNetwork(seed, { active: false });
        const draw = seeded(seed + 1);
        const names = [
          ...new Set(netlist.elements.flatMap((element) => ('a' in element ? [element.a, element.b] : []))),
        ];
        const diodes = Array.from({ length: 5 }, (_, k): Element => {
          const a = Math.floor(draw() * names.length);
          const b = (a + 1 + Math.floor(draw() * (names.length - 1))) % names.length;
          return diode(`D${k}`, names[a]!, names[b]!, 0.2 + draw(), draw() < 0.3 ? 1 + 3 * draw() : undefined);
        });
        const {
          solution,
          diodes: states,
          settled,
        } = operatingPoint({ ...netlist, elements: [...netlist.elements, ...diodes] });
        expect(settled).toBe(true);
        for (const element of diodes) {
          if (element.kind !== 'diode') continue;
          const volts = solution.across(element.name)?.re;
          const amps = solution.current(element.name)?.re;
          const state = states.get(element.name);
          if (state === 'off' && volts !== undefined) {
            expect(volts).toBeLessThan(element.drop + 1e-6);
            if (element.breakdown) expect(volts).toBeGreaterThan(-element.breakdown - 1e-6);
          }
          if (amps !== undefined && state === 'forward') expect(amps).toBeGreaterThan(-1e-6);
          if (amps !== undefined && state === 'breakdown') expect(amps).toBeLessThan(1e-6);
        }
      }),
      { seed: 7, numRuns: 200 },
    );
  });

  test('where no state fits it says so: a diode that switches itself off by switching on', () => {
    // A controlled source makes what the diode sees 1 V behind −1 kΩ: open it has too much voltage, closed a negative current.
    const latch = operatingPoint(
      on([
        supply('V', 'in', -1),
        resistor('R1', 'in', 'x', 1000),
        { kind: 'vccs', name: 'G1', a: 'x', b: 'GND', plus: 'x', minus: 'GND', siemens: -2e-3 },
        diode('D1', 'x', 'GND', 0.6),
      ]),
    );
    expect(latch.settled).toBe(false);
    expect(latch.solution.residual).toBeLessThan(1e-12);
  });
});

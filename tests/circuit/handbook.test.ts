import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { decibels, magnitude, real } from '../../server/src/circuit/complex';
import type { Element, Netlist } from '../../server/src/circuit/netlist';
import { impedanceBetween, transfer } from '../../server/src/circuit/transfer';

const on = (elements: Element[]): Netlist => ({ reference: '0', elements });
const resistor = (name: string, a: string, b: string, ohms: number): Element => ({
  kind: 'resistor',
  name,
  a,
  b,
  ohms,
});
const load = (ohms: number, a = 'out', b = '0'): Element => ({ kind: 'load', name: 'load', a, b, ohms });
const source = (volts: number, ohms = 0): Element => ({
  kind: 'voltage',
  name: 'V',
  a: 'in',
  b: '0',
  dc: volts,
  ac: volts,
  ohms,
});

describe('dividers, parallel and output resistance', () => {
  // Horowitz and Hill, The Art of Electronics, an early exercise (from memory); the arithmetic stands by itself.
  test('30 V over 10 k and 10 k: 15 V open, 10 V into 10 k, seen as 15 V behind 5 k', () => {
    const open = network(on([source(30), resistor('R1', 'in', 'out', 10e3), resistor('R2', 'out', '0', 10e3)]));
    expect(open.dc.solution.voltage('out')!.re).toBeCloseTo(15, 12);
    expect(impedanceBetween(open.at(0), 'out', '0')!.re).toBeCloseTo(5000, 8);
    const loaded = network(on([...open.netlist.elements, load(10e3)]));
    expect(loaded.dc.solution.voltage('out')!.re).toBeCloseTo(10, 12);
    expect(impedanceBetween(loaded.at(997), 'out', '0', ['load'])!.re).toBeCloseTo(5000, 8);
    expect(impedanceBetween(loaded.at(997), 'out', '0')!.re).toBeCloseTo(10e3 / 3, 8);
  });

  test.each([
    [[10e3, 10e3], 5000],
    [[4.7e3, 10e3], 3197.279],
    [[1e3, 2e3, 3e3], 545.4545],
    [[100, 220, 470], 59.9768],
  ])('%j side by side: %d Ω', (ohms, wanted) => {
    const parts = ohms.map((value, k) => resistor(`R${k}`, 'out', '0', value));
    expect(impedanceBetween(network(on(parts)).at(0), 'out', '0')!.re / wanted).toBeCloseTo(1, 6);
  });

  // Ri = RL·(Vo/VL − 1); the last row: wiki.math.se, Lösning 4.2:1.
  test.each([
    [1, 0.5, 600, 600],
    [1, 0.98, 32, 0.653],
    [1, 0.952, 10e3, 504.2],
    [48, 45, 300, 20],
  ])('%d V open, %d V into %d Ω: %d Ω inside', (open, loaded, ohms, inside) => {
    const exact = ohms * (open / loaded - 1);
    expect(exact / inside).toBeCloseTo(1, 3);
    const behind = network(on([source(open, exact), load(ohms, 'in')]));
    expect(behind.dc.solution.voltage('in')!.re).toBeCloseTo(loaded, 10);
    expect(impedanceBetween(behind.at(997), 'in', '0', ['load'])!.re).toBeCloseTo(exact, 10);
  });
});

/** T: Rs = Z(K − 1)/(K + 1), Rp = 2ZK/(K² − 1); Π: Rp = Z(K + 1)/(K − 1), Rs = Z(K² − 1)/(2K); K = 10^(dB/20) (microwaves101). */
function pads(z: number, level: number) {
  const k = 10 ** (level / 20);
  return {
    tee: { series: (z * (k - 1)) / (k + 1), shunt: (2 * z * k) / (k * k - 1) },
    pi: { shunt: (z * (k + 1)) / (k - 1), series: (z * (k * k - 1)) / (2 * k) },
  };
}

const tee = ({ series, shunt }: { series: number; shunt: number }): Element[] => [
  resistor('R1', 'in', 'middle', series),
  resistor('R2', 'middle', 'out', series),
  resistor('R3', 'middle', '0', shunt),
];
const pi = ({ series, shunt }: { series: number; shunt: number }): Element[] => [
  resistor('R1', 'in', '0', shunt),
  resistor('R2', 'in', 'out', series),
  resistor('R3', 'out', '0', shunt),
];

describe('matched attenuator pads', () => {
  test.each([
    [50, 1, 2.8751, 433.3366, 869.5482, 5.7692],
    [50, 3, 8.5499, 141.9262, 292.4022, 17.6148],
    [50, 6, 16.6139, 66.931, 150.476, 37.3519],
    [50, 10, 25.9747, 35.1364, 96.2475, 71.1512],
    [50, 20, 40.9091, 10.101, 61.1111, 247.5],
    [75, 6, 24.9209, 100.3966, 225.714, 56.0278],
    [600, 3, 102.5984, 1703.1139, 3508.8262, 211.3775],
    [600, 6, 199.3673, 803.1725, 1805.7123, 448.2225],
    [600, 10, 311.6963, 421.637, 1154.9704, 853.815],
    [600, 20, 490.9091, 121.2121, 733.3333, 2970],
  ])('%d Ω, %d dB: the table, its level and its match', (z, level, teeSeries, teeShunt, piShunt, piSeries) => {
    const exact = pads(z, level);
    const own = [exact.tee.series, exact.tee.shunt, exact.pi.shunt, exact.pi.series];
    for (const [k, wanted] of [teeSeries, teeShunt, piShunt, piSeries].entries())
      expect(Math.abs(own[k]! - wanted)).toBeLessThan(0.5001e-4);
    // With the table's four decimals the network shows the level and the impedance to as many digits.
    for (const pad of [tee({ series: teeSeries, shunt: teeShunt }), pi({ series: piSeries, shunt: piShunt })]) {
      const between = network(on([source(1, z), ...pad, load(z)])).at(997);
      expect(decibels(transfer(between, { source: 'V', at: 'out' })!)).toBeCloseTo(-level - 20 * Math.log10(2), 4);
      const looked = network(on([...pad, load(z)])).at(997);
      expect(magnitude(impedanceBetween(looked, 'in', '0')!) / z).toBeCloseTo(1, 5);
    }
  });

  // Published, rounded as printed: vias.org FEEE; electronics-notes.com; physicsforums 715497 (to 0.02 Ω).
  test.each([
    [50, 10, 25.97, 35.14, 96.25, 71.15, 0.006],
    [50, 3, 8.5, 142, 292, 17.6, 0.5],
    [600, 15, null, null, 859.54, 1633.67, 0.02],
  ])('%d Ω, %d dB as published', (z, level, teeSeries, teeShunt, piShunt, piSeries, within) => {
    const exact = pads(z, level);
    if (teeSeries !== null) expect(Math.abs(exact.tee.series - teeSeries)).toBeLessThan(within);
    if (teeShunt !== null) expect(Math.abs(exact.tee.shunt - teeShunt)).toBeLessThan(within);
    expect(Math.abs(exact.pi.shunt - piShunt)).toBeLessThan(within);
    expect(Math.abs(exact.pi.series - piSeries)).toBeLessThan(within);
  });

  test('a 6 dB pad is not a halving: that is 6.0206 dB', () => {
    const { tee: six } = pads(600, 6);
    const gain = transfer(network(on([source(2, 600), ...tee(six), load(600)])).at(997), { source: 'V', at: 'out' })!;
    expect(2 * magnitude(gain)).not.toBeCloseTo(0.5, 3);
    expect(decibels(real(0.5))).toBeCloseTo(-6.0206, 4);
  });
});

describe('LED resistors, R = (V − Vf)/I', () => {
  test.each([
    [5, 2, 10e-3, 300, 30e-3],
    [3.3, 2, 5e-3, 260, 6.5e-3],
    [9, 2, 20e-3, 350, 140e-3],
    [12, 2, 20e-3, 500, 200e-3],
    [5, 3.2, 20e-3, 90, 36e-3],
    [12, 3.5, 20e-3, 425, 170e-3],
  ])('%d V, %d V forward, %d A: %d Ω taking %d W', (volts, drop, amps, ohms, watts) => {
    const { dc } = network(
      on([
        source(volts),
        resistor('R9', 'in', 'anode', ohms),
        { kind: 'diode', name: 'LED1', a: 'anode', b: '0', drop },
      ]),
    );
    expect(dc.settled).toBe(true);
    expect(dc.solution.current('LED1')!.re).toBeCloseTo(amps, 12);
    expect(dc.solution.power('R9')).toBeCloseTo(watts, 12);
    expect(dc.solution.power('LED1')).toBeCloseTo(drop * amps, 12);
    expect(dc.solution.voltage('anode')!.re).toBeCloseTo(drop, 12);
  });
});

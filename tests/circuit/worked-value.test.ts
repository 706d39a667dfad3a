import { describe, expect, test } from 'vitest';
import { network as opened } from '../../server/src/circuit/ac';
import { type Complex, divide, magnitude, phase, polar } from '../../server/src/circuit/complex';
import type { Netlist } from '../../server/src/circuit/netlist';
import { transfer } from '../../server/src/circuit/transfer';
import { near } from './near';

/** 10 µF from a 0 Ω source into 1 kΩ, the tap over 1 kΩ beside a load of 10 kΩ. */
const network: Netlist = {
  reference: 'GND',
  elements: [
    { kind: 'voltage', name: 'U1', a: 'pin', b: 'GND', ac: 1 },
    { kind: 'capacitor', name: 'C7', a: 'pin', b: 'middle', farads: 10e-6 },
    { kind: 'resistor', name: 'R4', a: 'middle', b: 'tip', ohms: 1000 },
    { kind: 'resistor', name: 'R6', a: 'tip', b: 'GND', ohms: 1000 },
    { kind: 'load', name: 'J2', a: 'tip', b: 'GND', ohms: 10_000 },
  ],
};

/** Rp / (R + Rp + 1/jωC) with Rp = 1 kΩ ∥ 10 kΩ. */
function closedForm(hertz: number): Complex {
  const parallel = 1e7 / 11e3;
  return divide({ re: parallel, im: 0 }, { re: 1000 + parallel, im: -1 / (2 * Math.PI * hertz * 10e-6) });
}

describe('10 µF into 1 k, tap over 1 k beside 10 k', () => {
  // Printed by ngspice with twelve digits of amplitude and seven of phase, on another machine.
  test.each([
    [1, 5.671331624381e-2, 83.15995],
    [10, 3.657593145742e-1, 39.81691],
    [100, 4.745442816333e-1, 4.76555],
    [1000, 4.761739293486e-1, 0.477646],
  ])('at %i Hz: ngspice, and the closed form', (hertz, amplitude, degrees) => {
    const gain = transfer(opened(network).at(hertz), { source: 'U1', at: 'tip' })!;
    expect(Math.abs(magnitude(gain) / amplitude - 1)).toBeLessThan(1e-9);
    expect(phase(gain)).toBeCloseTo(degrees, 4);
    near(gain, closedForm(hertz), 1e-12);
    expect(magnitude(polar(magnitude(gain), phase(gain)))).toBeCloseTo(magnitude(gain), 14);
  });
});

import { type Complex, divide, multiply, real } from '../../server/src/circuit/complex';
import type { Element, Netlist } from '../../server/src/circuit/netlist';

/** An op-amp stage beside its transfer function, from the textbooks (Horowitz and Hill; Sallen and Key 1955; from memory). */
export interface Stage {
  readonly name: string;
  readonly netlist: Netlist;
  /** Volts at `out` per volt of V at a frequency in Hz; above 0 where the stage has no gain at DC that a network can tell. */
  readonly gain: (hertz: number) => Complex;
  readonly lowest?: number;
}

const resistor = (name: string, a: string, b: string, ohms: number): Element => ({
  kind: 'resistor',
  name,
  a,
  b,
  ohms,
});
const capacitor = (name: string, a: string, b: string, farads: number): Element => ({
  kind: 'capacitor',
  name,
  a,
  b,
  farads,
});
const opAmp = (plus: string, minus: string, out: string, name = 'U1'): Element => ({
  kind: 'op-amp',
  name,
  plus,
  minus,
  out,
});
const stage = (name: string, elements: Element[], gain: Stage['gain'], lowest?: number): Stage => ({
  name,
  netlist: {
    reference: '0',
    elements: [
      { kind: 'voltage', name: 'V', a: 'in', b: '0', dc: 1, ac: 1, ohms: 0 },
      ...elements,
      { kind: 'load', name: 'RL', a: 'out', b: '0', ohms: 600 },
    ],
  },
  gain,
  ...(lowest ? { lowest } : {}),
});

const s = (hertz: number): Complex => ({ re: 0, im: 2 * Math.PI * hertz });
/** c0 + c1·s + c2·s² */
const polynomial = (at: Complex, c0: number, c1: number, c2 = 0): Complex => {
  const square = multiply(at, at);
  return { re: c0 + c1 * at.re + c2 * square.re, im: c1 * at.im + c2 * square.im };
};

export const stages: Stage[] = [
  stage('follower', [opAmp('in', 'out', 'out')], () => real(1)),
  stage(
    'inverting, −R2/R1',
    [resistor('R1', 'in', 'x', 10e3), resistor('R2', 'x', 'out', 47e3), opAmp('0', 'x', 'out')],
    () => real(-4.7),
  ),
  stage(
    'non-inverting, 1 + R2/R1',
    [resistor('R1', 'x', '0', 2.2e3), resistor('R2', 'x', 'out', 22e3), opAmp('in', 'x', 'out')],
    () => real(11),
  ),
  stage(
    'difference of V and half of V, ×10',
    [
      resistor('Ra', 'in', 'half', 1),
      resistor('Rb', 'half', '0', 1),
      resistor('R1', 'half2', 'x', 10e3),
      opAmp('half', 'half2', 'half2', 'U2'),
      resistor('R2', 'x', 'out', 100e3),
      resistor('R3', 'in', 'y', 10e3),
      resistor('R4', 'y', '0', 100e3),
      opAmp('y', 'x', 'out'),
    ],
    () => real(5),
  ),
  stage(
    'summing mixer of V twice, −(Rf/R1 + Rf/R2)',
    [
      resistor('R1', 'in', 'x', 10e3),
      resistor('R2', 'in', 'x', 22e3),
      resistor('Rf', 'x', 'out', 10e3),
      opAmp('0', 'x', 'out'),
    ],
    () => real(-(1 + 10 / 22)),
  ),
  stage(
    'inverting low-pass, −(R2/R1)/(1 + sR2C)',
    [
      resistor('R1', 'in', 'x', 10e3),
      resistor('R2', 'x', 'out', 10e3),
      capacitor('C1', 'x', 'out', 1e-9),
      opAmp('0', 'x', 'out'),
    ],
    (hertz) => divide(real(-1), polynomial(s(hertz), 1, 10e3 * 1e-9)),
  ),
  stage(
    'integrator, −1/(sRC)',
    [resistor('R1', 'in', 'x', 10e3), capacitor('C1', 'x', 'out', 100e-9), opAmp('0', 'x', 'out')],
    (hertz) => divide(real(-1), polynomial(s(hertz), 0, 10e3 * 100e-9)),
    1,
  ),
  stage(
    'Sallen–Key low-pass, 1/(1 + s·C2(R1 + R2) + s²·R1R2C1C2)',
    [
      resistor('R1', 'in', 'x', 4.7e3),
      resistor('R2', 'x', 'y', 6.8e3),
      capacitor('C1', 'x', 'out', 2.2e-9),
      capacitor('C2', 'y', '0', 1e-9),
      opAmp('y', 'out', 'out'),
    ],
    (hertz) => divide(real(1), polynomial(s(hertz), 1, 1e-9 * 11.5e3, 4.7e3 * 6.8e3 * 2.2e-9 * 1e-9)),
  ),
  stage(
    'coupled into 100 k, ×(1 + R2/R1) with C in the foot',
    [
      capacitor('C1', 'in', 'y', 1e-6),
      resistor('R3', 'y', '0', 100e3),
      resistor('R1', 'x', 'foot', 1e3),
      capacitor('C2', 'foot', '0', 10e-6),
      resistor('R2', 'x', 'out', 9e3),
      opAmp('y', 'x', 'out'),
    ],
    (hertz) => {
      const at = s(hertz);
      const input = divide(polynomial(at, 0, 0.1), polynomial(at, 1, 0.1));
      return multiply(input, divide(polynomial(at, 1, 10e3 * 10e-6), polynomial(at, 1, 1e3 * 10e-6)));
    },
  ),
  stage(
    'differentiating all-pass, (1 − sRC)/(1 + sRC)',
    [
      resistor('R1', 'in', 'x', 10e3),
      resistor('R2', 'x', 'out', 10e3),
      resistor('R3', 'in', 'y', 10e3),
      capacitor('C1', 'y', '0', 10e-9),
      opAmp('y', 'x', 'out'),
    ],
    (hertz) => divide(polynomial(s(hertz), 1, -1e-4), polynomial(s(hertz), 1, 1e-4)),
  ),
];

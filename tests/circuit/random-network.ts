import type { Element, Netlist } from '../../server/src/circuit/netlist';
import { seeded } from './draw';

/** What a drawn network is made of. */
export interface Drawn {
  /** Nodes besides the reference. */
  readonly nodes: number;
  /** Impedances beyond the tree that ties every node to the reference. */
  readonly more: number;
  /** True: controlled sources too, so that the network is not reciprocal. */
  readonly active: boolean;
}

/**
 * A network drawn from a seed: every node has a way to the reference at DC, through resistors and inductors; further R, L
 * and C (with and without ESR) join nodes at random; two loads, two voltage sources and a current source.
 */
export function randomNetwork(seed: number, shape?: Partial<Drawn>): Netlist {
  const draw = seeded(seed);
  const whole = (from: number, to: number) => from + Math.floor(draw() * (to - from + 1));
  /** Evenly over the logarithm, as values of parts are. */
  const between = (from: number, to: number) => from * (to / from) ** draw();
  const count = shape?.nodes ?? whole(3, 12);
  const more = shape?.more ?? whole(count, 3 * count);
  const active = shape?.active ?? draw() < 0.3;
  const node = (k: number) => (k === 0 ? '0' : `n${k}`);
  const pair = (): [string, string] => {
    const a = whole(0, count);
    const b = (a + whole(1, count)) % (count + 1);
    return [node(a), node(b)];
  };
  const elements: Element[] = [];
  const name = (letter: string) => `${letter}${elements.length}`;
  const resistor = (a: string, b: string): Element => ({
    kind: 'resistor',
    name: name('R'),
    a,
    b,
    ohms: between(0.1, 1e6),
  });
  const inductor = (a: string, b: string): Element => ({
    kind: 'inductor',
    name: name('L'),
    a,
    b,
    henries: between(1e-6, 0.1),
    dcr: between(0.01, 100),
  });
  const capacitor = (a: string, b: string): Element => {
    const esr = draw() < 0.5 ? between(0.01, 10) : 0;
    return { kind: 'capacitor', name: name('C'), a, b, farads: between(10e-12, 1e-3), ...(esr > 0 ? { esr } : {}) };
  };
  for (let k = 1; k <= count; k++) {
    const to = node(whole(0, k - 1));
    elements.push(draw() < 0.75 ? resistor(node(k), to) : inductor(node(k), to));
  }
  for (let k = 0; k < more; k++) {
    const which = draw();
    elements.push(which < 0.35 ? resistor(...pair()) : which < 0.8 ? capacitor(...pair()) : inductor(...pair()));
  }
  for (let k = 0; k < 2; k++) {
    const [a, b] = pair();
    const farads = draw() < 0.5 ? between(50e-12, 2e-9) : undefined;
    elements.push({ kind: 'load', name: name('J'), a, b, ohms: between(8, 1e5), ...(farads ? { farads } : {}) });
  }
  const strength = () => ({ dc: draw() * 10 - 5, ac: draw() * 2, phase: draw() * 360 - 180 });
  for (let k = 0; k < 2; k++) {
    const [a, b] = pair();
    // Behind an impedance always: two ideal sources on one pair of nodes would contradict each other.
    elements.push({ kind: 'voltage', name: name('V'), a, b, ...strength(), ohms: between(0.1, 1000) });
  }
  const [a, b] = pair();
  elements.push({ kind: 'current', name: name('I'), a, b, dc: draw() * 0.02 - 0.01, ac: draw() * 0.01, phase: 30 });
  if (active) {
    const [outA, outB] = pair();
    const [inA, inB] = pair();
    const [plus, minus] = pair();
    elements.push({
      kind: 'vcvs',
      name: name('E'),
      a: outA,
      b: outB,
      plus,
      minus,
      gain: draw() * 20 - 10,
      ohms: between(1, 100),
    });
    elements.push({
      kind: 'vccs',
      name: name('G'),
      a: inA,
      b: inB,
      plus: minus,
      minus: plus,
      siemens: draw() * 2e-2 - 1e-2,
    });
  }
  return { reference: '0', elements };
}

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { add, type Complex, magnitude, scale, zero } from '../../server/src/circuit/complex';
import { type Element, type Netlist, nodesOf } from '../../server/src/circuit/netlist';
import { near } from './near';
import { randomNetwork } from './random-network';

const nodes = (netlist: Netlist) => [...new Set([netlist.reference, ...netlist.elements.flatMap(nodesOf)])];
/** DC in one draw of seven, else 1 Hz to 1 MHz. */
const frequency = fc.oneof(
  { weight: 1, arbitrary: fc.constant(0) },
  { weight: 6, arbitrary: fc.double({ min: 0, max: 6, noNaN: true }).map((decades) => 10 ** decades) },
);
const some = { seed: fc.nat(), frequency };
const runs = { seed: 4, numRuns: 150 };

const voltages = (netlist: Netlist, hertz: number): Complex[] => {
  const solution = network(netlist).at(hertz).solve();
  return nodes(netlist).map((node) => solution.voltage(node)!);
};
const top = (values: readonly Complex[]) => Math.max(...values.map(magnitude));

/** Every node of the first network has the same voltage in the second. */
function sameVoltages(a: Netlist, b: Netlist, hertz: number): void {
  const ours = voltages(a, hertz);
  const other = network(b).at(hertz).solve();
  for (const [k, node] of nodes(a).entries()) near(other.voltage(node), ours[k]!, 1e-8, top(ours));
}

describe('what holds for every network', () => {
  test('reciprocity: without controlled sources a current here gives there what it would give here from there', () => {
    fc.assert(
      fc.property(fc.record({ ...some, picks: fc.array(fc.nat(), { minLength: 4, maxLength: 4 }) }), (drawn) => {
        const netlist = randomNetwork(drawn.seed, { active: false });
        const all = nodes(netlist);
        const [a, b, c, d] = drawn.picks.map((pick) => all[pick % all.length]!) as [string, string, string, string];
        const solved = network(netlist).at(drawn.frequency);
        const own = [solved.inject(a, b).between(b, a)!, solved.inject(c, d).between(d, c)!];
        near(solved.inject(c, d).between(a, b), solved.inject(a, b).between(c, d)!, 1e-9, top(own));
      }),
      runs,
    );
  });

  test('superposition: the answer to all sources is the sum of the answers to each', () => {
    fc.assert(
      fc.property(fc.record(some), ({ seed, frequency }) => {
        const netlist = randomNetwork(seed);
        const solved = network(netlist).at(frequency);
        const together = solved.solve();
        const alone = netlist.elements
          .filter((element) => element.kind === 'voltage' || element.kind === 'current')
          .map((kept) => {
            // Every other source is silenced in the network itself, not in the right-hand side.
            const elements = netlist.elements.map((element) =>
              (element.kind === 'voltage' || element.kind === 'current') && element !== kept
                ? { ...element, dc: 0, ac: 0 }
                : element,
            );
            return network({ ...netlist, elements })
              .at(frequency)
              .solve();
          });
        const own = nodes(netlist).map((node) => together.voltage(node)!);
        for (const [k, node] of nodes(netlist).entries()) {
          const sum = alone.reduce((total, solution) => add(total, solution.voltage(node)!), zero);
          near(sum, own[k]!, 1e-9, Math.max(...alone.map((one) => magnitude(one.voltage(node)!)), top(own)));
        }
      }),
      runs,
    );
  });

  test('impedances all k times as large leave every voltage and divide every current by k', () => {
    fc.assert(
      fc.property(fc.record({ ...some, k: fc.double({ min: 0.01, max: 100, noNaN: true }) }), (drawn) => {
        const netlist = randomNetwork(drawn.seed);
        const scaled = { ...netlist, elements: netlist.elements.map((element) => larger(element, drawn.k)) };
        sameVoltages(netlist, scaled, drawn.frequency);
        const ours = network(netlist).at(drawn.frequency).solve();
        const other = network(scaled).at(drawn.frequency).solve();
        const currents = netlist.elements.map((element) => ours.current(element.name)!);
        for (const [n, element] of netlist.elements.entries())
          near(scale(other.current(element.name)!, drawn.k), currents[n]!, 1e-7, top(currents));
      }),
      runs,
    );
  });

  test('L and C all k times as small at a frequency k times as high change nothing', () => {
    fc.assert(
      fc.property(fc.record({ ...some, k: fc.double({ min: 0.1, max: 10, noNaN: true }) }), (drawn) => {
        const netlist = randomNetwork(drawn.seed);
        const elements = netlist.elements.map((element): Element => {
          if (element.kind === 'capacitor') return { ...element, farads: element.farads! / drawn.k };
          if (element.kind === 'inductor') return { ...element, henries: element.henries! / drawn.k };
          return element.kind === 'load' ? { ...element, farads: (element.farads ?? 0) / drawn.k } : element;
        });
        const ours = voltages(netlist, drawn.frequency);
        const other = voltages({ ...netlist, elements }, drawn.frequency * drawn.k);
        for (const [k, value] of ours.entries()) near(other[k]!, value, 1e-8, top(ours));
      }),
      runs,
    );
  });

  test('a part split into two in series, or into two in parallel, changes nothing', () => {
    fc.assert(
      fc.property(fc.record({ ...some, share: fc.double({ min: 0.05, max: 0.95, noNaN: true }) }), (drawn) => {
        const netlist = randomNetwork(drawn.seed);
        const parts = netlist.elements.filter((element) => /^[RCLJ]/.test(element.name));
        const part = parts[drawn.seed % parts.length]!;
        for (const split of [inSeries, inParallel]) {
          const elements = netlist.elements.flatMap((element) =>
            element === part ? split(element, drawn.share) : [element],
          );
          sameVoltages(netlist, { ...netlist, elements }, drawn.frequency);
        }
      }),
      runs,
    );
  });

  test('a milliohm on the way does not drown ten gigaohms in rounding', () => {
    const netlist: Netlist = {
      reference: '0',
      elements: [
        { kind: 'current', name: 'I', a: '0', b: 'x', dc: 1e-9, ac: 1e-9 },
        { kind: 'resistor', name: 'R1', a: 'x', b: 'y', ohms: 1e-3 },
        { kind: 'resistor', name: 'R2', a: 'y', b: '0', ohms: 1e10 },
      ],
    };
    for (const hertz of [0, 997]) {
      const solution = network(netlist).at(hertz).solve();
      near(solution.voltage('x'), { re: 10, im: 0 }, 1e-12);
      near(solution.current('R1'), { re: 1e-9, im: 0 }, 1e-12);
    }
  });

  test('power: what the sources give is what the parts take up', () => {
    fc.assert(
      fc.property(fc.record(some), ({ seed, frequency }) => {
        const netlist = randomNetwork(seed);
        const solution = network(netlist).at(frequency).solve();
        const powers = netlist.elements.map((element) => solution.power(element.name)!);
        const sum = powers.reduce((total, power) => total + power, 0);
        const volts = top(netlist.elements.map((element) => solution.across(element.name)!));
        const amps = top(netlist.elements.map((element) => solution.current(element.name)!));
        expect(Math.abs(sum)).toBeLessThan(1e-9 * volts * amps);
      }),
      runs,
    );
  });

  test('a second network that nothing ties to the first is one floating part, and neither knows of the other', () => {
    fc.assert(
      fc.property(fc.record({ ...some, other: fc.nat() }), ({ seed, other, frequency }) => {
        const first = randomNetwork(seed);
        const second = apart(randomNetwork(other));
        const both = network({ ...first, elements: [...first.elements, ...second.elements] }).at(frequency);
        expect(both.floating.map((part) => [...part.nodes].sort())).toEqual([nodes(second).sort()]);
        const solution = both.solve();
        expect(solution.contradictions).toEqual([]);
        const alone = [first, second].map((netlist) => network(netlist).at(frequency).solve());
        for (const [k, netlist] of [first, second].entries()) {
          const own = nodes(netlist).map((node) => alone[k]!.voltage(node)!);
          for (const [n, node] of nodes(netlist).entries())
            near(solution.between(node, netlist.reference), own[n]!, 1e-8, top(own));
        }
        expect(solution.voltage(second.reference)).toBeNull();
      }),
      runs,
    );
  });

  test('the residual is rounding, and every voltage and current a number', () => {
    fc.assert(
      fc.property(fc.record(some), ({ seed, frequency }) => {
        const netlist = randomNetwork(seed);
        const solution = network(netlist).at(frequency).solve();
        expect(solution.residual).toBeLessThan(1e-13);
        expect(solution.contradictions).toEqual([]);
        for (const node of nodes(netlist)) expect(Number.isFinite(magnitude(solution.voltage(node)!))).toBe(true);
      }),
      runs,
    );
  });
});

/** The same network with other names of nodes and elements. */
function apart(netlist: Netlist): Netlist {
  const renamed = (element: Element): Element => {
    const entries = Object.entries(element).map(([key, value]) =>
      ['name', 'a', 'b', 'plus', 'minus', 'out'].includes(key) ? [key, `other ${value}`] : [key, value],
    );
    return Object.fromEntries(entries) as Element;
  };
  return { reference: `other ${netlist.reference}`, elements: netlist.elements.map(renamed) };
}

function larger(element: Element, k: number): Element {
  switch (element.kind) {
    case 'resistor':
      return { ...element, ohms: element.ohms! * k };
    case 'capacitor':
      return { ...element, farads: element.farads! / k, esr: (element.esr ?? 0) * k };
    case 'inductor':
      return { ...element, henries: element.henries! * k, dcr: (element.dcr ?? 0) * k };
    case 'load':
      return { ...element, ohms: element.ohms! * k, farads: (element.farads ?? 0) / k };
    case 'voltage':
    case 'vcvs':
      return { ...element, ohms: (element.ohms ?? 0) * k };
    case 'current':
      return { ...element, dc: element.dc! / k, ac: element.ac! / k };
    case 'vccs':
      return { ...element, siemens: element.siemens / k };
    default:
      return element;
  }
}

/** Two parts whose impedances are `share` and the rest of the part's. */
function inSeries(part: Element, share: number): Element[] {
  if (part.kind === 'op-amp') return [part];
  const first = larger(part, share);
  const second = larger(part, 1 - share);
  return [{ ...first, b: 'between' } as Element, { ...second, name: `${part.name} rest`, a: 'between' } as Element];
}

/** Two parts whose admittances are `share` and the rest of the part's. */
const inParallel = (part: Element, share: number): Element[] => [
  larger(part, 1 / share),
  { ...larger(part, 1 / (1 - share)), name: `${part.name} rest` },
];

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { network } from '../../server/src/circuit/ac';
import { applied, type Change } from '../../server/src/circuit/changes';
import { magnitude } from '../../server/src/circuit/complex';
import { Factored } from '../../server/src/circuit/factor';
import { type Element, type Netlist, nodesOf } from '../../server/src/circuit/netlist';
import { seeded } from './draw';
import { near } from './near';
import { randomNetwork } from './random-network';

/** A few changes of every sort, the same element sometimes twice. */
function drawnChanges(netlist: Netlist, seed: number): Change[] {
  const draw = seeded(seed);
  const nodes = [...new Set(netlist.elements.flatMap(nodesOf))];
  const pick = <T>(from: readonly T[]): T => from[Math.floor(draw() * from.length)]!;
  const bridges = new Set<string>();
  return Array.from({ length: 1 + Math.floor(draw() * 4) }, (_, k): Change => {
    const element = pick(netlist.elements);
    const what = draw();
    if (what < 0.3) return { open: element.name };
    if (what < 0.5 && /^[RCLJ]/.test(element.name)) return { short: element.name };
    if (what < 0.7) {
      bridges.add(`bridge ${k}`);
      return { bridge: [pick(nodes), pick(nodes)], ohms: draw() < 0.5 ? 0 : 10 ** (6 * draw()), name: `bridge ${k}` };
    }
    return { set: otherwise(element, 10 ** (8 * draw() - 4)) };
  });
}

function otherwise(element: Element, by: number): Element {
  switch (element.kind) {
    case 'resistor':
    case 'load':
      return { ...element, ohms: element.ohms! * by };
    case 'capacitor':
      return { ...element, farads: element.farads! * by, esr: (element.esr ?? 0) + by };
    case 'inductor':
      return { ...element, henries: element.henries! * by };
    case 'voltage':
      return { ...element, ac: 0.3, dc: 0.7, ohms: (element.ohms ?? 0) * by };
    case 'vcvs':
      return { ...element, gain: element.gain * by };
    default:
      return element;
  }
}

const frequency = fc.oneof(
  { weight: 1, arbitrary: fc.constant(0) },
  { weight: 4, arbitrary: fc.double({ min: 0, max: 6, noNaN: true }).map((decades) => 10 ** decades) },
);

describe('a changed network', () => {
  test('as an update of the factorisation equals the changed network factored anew', () => {
    let updates = 0;
    fc.assert(
      fc.property(fc.record({ seed: fc.nat(), changes: fc.nat(), frequency }), (drawn) => {
        const netlist = randomNetwork(drawn.seed);
        const changes = drawnChanges(netlist, drawn.changes);
        const updated = network(netlist).at(drawn.frequency).with(changes);
        if (!(updated instanceof Factored)) updates++;
        const anew = network(applied(netlist, changes)).at(drawn.frequency);
        const [ours, theirs] = [updated.solve(), anew.solve()];
        expect(updated.floating).toEqual(anew.floating);
        // Where sources have been shorted together there is no answer to compare.
        if (theirs.contradictions.length > 0) {
          expect(ours.contradictions).toEqual(theirs.contradictions);
          return;
        }
        expect(ours.residual).toBeLessThan(1e-9);
        const nodes = [...new Set(netlist.elements.flatMap(nodesOf))];
        const volts = nodes.map((node) => theirs.voltage(node));
        // A volt at least: the sources are of that size, also where the changes silence them.
        const top = Math.max(1, ...volts.map((value) => (value ? magnitude(value) : 0)));
        for (const [k, node] of nodes.entries()) {
          if (volts[k] === null) expect(ours.voltage(node)).toBeNull();
          else near(ours.voltage(node), volts[k]!, 1e-7, top);
        }
        const elements = applied(netlist, changes).elements;
        const amps = elements.map((element) => theirs.current(element.name));
        const most = Math.max(...amps.map((value) => (value ? magnitude(value) : 0)));
        for (const [k, element] of elements.entries())
          if (amps[k]) near(ours.current(element.name), amps[k]!, 1e-6, Math.max(most, 1));
        const [a, b] = [nodes[0]!, nodes.at(-1)!];
        const seen = anew.inject(a, b).between(b, a);
        if (seen) near(updated.inject(a, b).between(b, a), seen, 1e-6, Math.max(magnitude(seen), 1e-6));
      }),
      { seed: 5, numRuns: 400 },
    );
    // Most of them are indeed updates.
    expect(updates).toBeGreaterThan(200);
  });

  test('changes made one after the other are as made at once, and the base stays as it was', () => {
    fc.assert(
      fc.property(fc.record({ seed: fc.nat(), changes: fc.nat() }), (drawn) => {
        const netlist = randomNetwork(drawn.seed);
        const solved = network(netlist).at(997);
        const before = solved.solve().voltage('n1')!;
        const changes = drawnChanges(netlist, drawn.changes);
        const once = solved.with(changes).solve().voltage('n1');
        const steps = changes.reduce((at, change) => at.with([change]), solved as ReturnType<typeof solved.with>);
        const stepwise = steps.solve().voltage('n1');
        if (once === null) expect(stepwise).toBeNull();
        else near(stepwise, once, 1e-9, Math.max(magnitude(once), 1e-3));
        expect(solved.solve().voltage('n1')).toEqual(before);
      }),
      { seed: 6, numRuns: 100 },
    );
  });

  test('an opened source is still asked for by its name and gives nothing', () => {
    const netlist: Netlist = {
      reference: 'GND',
      elements: [
        { kind: 'voltage', name: 'U1.14', a: 'out', b: 'GND', ac: 1, ohms: 20 },
        { kind: 'load', name: 'J2', a: 'out', b: 'GND', ohms: 1000 },
      ],
    };
    const opened = network(netlist)
      .at(997)
      .with([{ open: 'U1.14' }]);
    expect(magnitude(opened.solve({ 'U1.14': 1 }).voltage('out')!)).toBeLessThan(1e-15);
    const anew = network(applied(netlist, [{ open: 'U1.14' }])).at(997);
    expect(magnitude(anew.solve({ 'U1.14': 1 }).voltage('out')!)).toBe(0);
  });

  test('what cannot be done says so', () => {
    const netlist = randomNetwork(1, { active: false });
    const solved = network(netlist).at(997);
    expect(() => solved.with([{ open: 'R999' }])).toThrow('no element is called R999');
    const source = netlist.elements.find((element) => element.kind === 'voltage')!;
    expect(() => solved.with([{ short: source.name }])).toThrow('cannot be shorted');
    expect(() => solved.with([{ bridge: ['n1', 'n2'], ohms: 0, name: source.name }])).toThrow('already called');
    expect(() => solved.solve({ nothing: 1 })).toThrow('no element is called nothing');
  });
});

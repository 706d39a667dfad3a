import { expect, test } from 'vitest';
import { network } from '../../../server/src/circuit/ac';
import { magnitude, subtract } from '../../../server/src/circuit/complex';
import { type Netlist, nodesOf } from '../../../server/src/circuit/netlist';
import { seeded } from '../../circuit/draw';
import { randomNetwork } from '../../circuit/random-network';
import { outside } from '../../harness/outside';
import { type Answer, spice } from './spice';

/** The largest difference of any node voltage, as a fraction of the largest node voltage. */
function worst(netlist: Netlist, answer: Answer, frequency: number): number {
  const solution = network(netlist).at(frequency).solve();
  const theirs = answer.get(frequency)!;
  const nodes = [...new Set(netlist.elements.flatMap(nodesOf))].filter((node) => node !== netlist.reference);
  const pairs = nodes.map((node) => [solution.voltage(node)!, theirs.get(node)!] as const);
  const largest = Math.max(...pairs.map(([, their]) => magnitude(their)));
  return Math.max(...pairs.map(([our, their]) => magnitude(subtract(our, their)))) / largest;
}

outside.suite(['ngspice'], 'against ngspice', () => {
  // Four runs of fifty networks, each with five frequencies of its own and DC.
  test.each([1, 2, 3, 4])('random networks, batch %i: every node voltage at five frequencies and DC', (batch) => {
    const draw = seeded(1000 + batch);
    const frequencies = [0, ...Array.from({ length: 5 }, () => 10 ** (6 * draw()))];
    const netlists = Array.from({ length: 50 }, (_, k) => randomNetwork(50 * batch + k));
    const answers = spice(netlists, frequencies);
    const missed = netlists.flatMap((netlist, k) =>
      frequencies
        .map((frequency) => ({ network: 50 * batch + k, frequency, by: worst(netlist, answers[k]!, frequency) }))
        .filter(({ by }) => !(by < 1e-6)),
    );
    expect(missed).toEqual([]);
  });

  test('a network of six hundred nodes', () => {
    const netlist = randomNetwork(4711, { nodes: 600, more: 250 });
    const frequencies = [0, 40, 997, 2e4];
    const [answer] = spice([netlist], frequencies);
    for (const frequency of frequencies) expect(worst(netlist, answer!, frequency)).toBeLessThan(1e-6);
  });
});

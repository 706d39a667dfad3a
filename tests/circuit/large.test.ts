import { describe, expect, test } from 'vitest';
import { type LinearNetlist, rightHand } from '../../server/src/circuit/assemble';
import { factorLinear } from '../../server/src/circuit/factor';
import { factorise } from '../../server/src/circuit/lu';
import { type Matrix, worstError } from '../../server/src/circuit/matrix';
import { nodesOf } from '../../server/src/circuit/netlist';
import { minimumDegree } from '../../server/src/circuit/ordering';
import { randomNetwork } from './random-network';

const drawn = (seed: number, nodes: number) =>
  randomNetwork(seed, { nodes, more: Math.round(nodes / 3), active: true }) as LinearNetlist;

describe('large networks', () => {
  test('a hundred nodes and more: what a dense elimination of the same equations says', () => {
    for (const [seed, hertz] of [
      [3, 0],
      [4, 40],
      [5, 2e4],
    ] as const) {
      const netlist = drawn(seed, 120);
      const { system } = factorLinear(netlist, hertz);
      const { entries, size } = system;
      const matrix: Matrix = {
        size,
        re: new Float64Array(size * size),
        im: hertz > 0 ? new Float64Array(size * size) : null,
      };
      for (const [k, row] of entries.row.entries()) {
        matrix.re[row * size + entries.column[k]!]! += entries.re[k]!;
        if (matrix.im) matrix.im[row * size + entries.column[k]!]! += entries.im[k]!;
      }
      const x = factorise(matrix).solve(rightHand(system, { [sourceOf(netlist)]: 1 }));
      const solution = factorLinear(netlist, hertz).solve({ [sourceOf(netlist)]: 1 });
      const largest = Math.max(...x.re.map((re, k) => Math.hypot(re, x.im?.[k] ?? 0)));
      for (const [node, k] of system.nodes) {
        if (k < 0) continue;
        const { re, im } = solution.voltage(node)!;
        expect(Math.hypot(re - x.re[k]!, im - (x.im?.[k] ?? 0)) / largest).toBeLessThan(1e-9);
      }
    }
  });

  test('eight hundred nodes: every equation is met to the last digits', () => {
    const netlist = drawn(8, 800);
    for (const hertz of [0, 997]) {
      const factored = factorLinear(netlist, hertz);
      const sources = { [sourceOf(netlist)]: 1 };
      const b = rightHand(factored.system, sources);
      expect(worstError(factored.system.entries, factored.response(sources), b)).toBeLessThan(1e-13);
      expect(factored.floating).toEqual([]);
    }
  });

  test('a change of one part is an update there too', () => {
    const netlist = drawn(9, 400);
    const source = { [sourceOf(netlist)]: 1 };
    const { name } = netlist.elements.find(({ kind }) => kind === 'resistor')!;
    const changed = netlist.elements.map((one) =>
      one.name === name && one.kind === 'resistor' ? { ...one, ohms: 3 * one.ohms! } : one,
    );
    const set = changed.find((one) => one.name === name)!;
    const updated = factorLinear(netlist, 997).with([{ set }]).solve(source);
    const anew = factorLinear({ ...netlist, elements: changed }, 997).solve(source);
    const nodes = [...new Set(netlist.elements.flatMap(nodesOf))];
    const most = Math.max(...nodes.map((node) => Math.hypot(anew.voltage(node)!.re, anew.voltage(node)!.im)));
    for (const node of nodes) {
      const [a, b] = [updated.voltage(node)!, anew.voltage(node)!];
      expect(Math.hypot(a.re - b.re, a.im - b.im) / most).toBeLessThan(1e-9);
    }
  });
});

const sourceOf = (netlist: LinearNetlist): string => netlist.elements.find(({ kind }) => kind === 'voltage')!.name;

describe('the order of elimination', () => {
  /** Entries that elimination in this order adds to the pattern. */
  function fill(order: Int32Array, pairs: readonly (readonly [number, number])[]): number {
    const beside = Array.from(order, () => new Set<number>());
    for (const [a, b] of pairs) {
      beside[a]!.add(b);
      beside[b]!.add(a);
    }
    let added = 0;
    for (const k of order) {
      const around = [...beside[k]!];
      for (const a of around) {
        beside[a]!.delete(k);
        for (const b of around)
          if (a < b && !beside[a]!.has(b)) {
            beside[a]!.add(b);
            beside[b]!.add(a);
            added++;
          }
      }
    }
    return added;
  }
  const ordered = (size: number, pairs: readonly (readonly [number, number])[]) =>
    minimumDegree(
      size,
      Int32Array.from(pairs, ([a]) => a),
      Int32Array.from(pairs, ([, b]) => b),
    );

  test('no entry is added in a star or a chain: parts on one rail, and a ladder', () => {
    const size = 200;
    const star = Array.from({ length: size - 1 }, (_, k) => [0, k + 1] as const);
    const chain = Array.from({ length: size - 1 }, (_, k) => [k, k + 1] as const);
    for (const pairs of [star, chain]) {
      const order = ordered(size, pairs);
      expect(new Set(order).size).toBe(size);
      expect(fill(order, pairs)).toBe(0);
    }
  });

  test('a grid of 20 by 20 fills by far less than in the order of its numbers', () => {
    const pairs = Array.from({ length: 400 }, (_, k) => [
      ...(k % 20 < 19 ? [[k, k + 1] as const] : []),
      ...(k < 380 ? [[k, k + 20] as const] : []),
    ]).flat();
    const plain = fill(
      Int32Array.from({ length: 400 }, (_, k) => k),
      pairs,
    );
    expect(fill(ordered(400, pairs), pairs)).toBeLessThan(plain / 2);
  });
});

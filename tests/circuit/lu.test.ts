import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { factorise } from '../../server/src/circuit/lu';
import { type Entries, type Matrix, type Vector, vector } from '../../server/src/circuit/matrix';
import { factoriseSparse } from '../../server/src/circuit/sparse';
import { seeded } from './draw';

function drawn(size: number, complex: boolean, seed: number, sparse: number): Matrix {
  const draw = seeded(seed);
  const fill = () =>
    Float64Array.from({ length: size * size }, () => (draw() < sparse ? 0 : (draw() - 0.5) * 10 ** (6 * draw() - 3)));
  return { size, re: fill(), im: complex ? fill() : null };
}

const copy = (a: Matrix): Matrix => ({ size: a.size, re: a.re.slice(), im: a.im?.slice() ?? null });

/** A dense matrix as entries, every other one in two halves, which add up. */
function entriesOf({ size, re, im }: Matrix): Entries {
  const listed: [number, number, number, number][] = [];
  for (let k = 0; k < size * size; k++) {
    const [a, b] = [re[k]!, im?.[k] ?? 0];
    if (a === 0 && b === 0) continue;
    const halves = k % 2 === 0 ? 2 : 1;
    for (let n = 0; n < halves; n++) listed.push([Math.floor(k / size), k % size, a / halves, b / halves]);
  }
  return {
    row: Int32Array.from(listed, ([row]) => row),
    column: Int32Array.from(listed, ([, column]) => column),
    re: Float64Array.from(listed, ([, , a]) => a),
    im: Float64Array.from(listed, ([, , , b]) => b),
    widest: new Float64Array(size),
  };
}

const sparse = (matrix: Matrix) => factoriseSparse(entriesOf(matrix), matrix.size, matrix.im !== null, new Set());
const ways = [
  ['small and dense', (matrix: Matrix) => factorise(copy(matrix)), 0],
  ['sparse, entries all there', sparse, 0],
  ['sparse, most entries zero', sparse, 0.8],
] as const;

/** A·x, or xᵀ·A when turned, with the largest product of the row beside it. */
function product(a: Matrix, x: Vector, turned = false): { re: number; im: number; size: number }[] {
  return Array.from({ length: a.size }, (_, row) => {
    let [re, im, size] = [0, 0, 0];
    for (let k = 0; k < a.size; k++) {
      const at = turned ? k * a.size + row : row * a.size + k;
      const [aRe, aIm, xRe, xIm] = [a.re[at]!, a.im?.[at] ?? 0, x.re[k]!, x.im?.[k] ?? 0];
      re += aRe * xRe - aIm * xIm;
      im += aRe * xIm + aIm * xRe;
      size = Math.max(
        size,
        Math.hypot(aRe, aIm) * Math.max(...x.re.map((value, j) => Math.hypot(value, x.im?.[j] ?? 0))),
      );
    }
    return { re, im, size };
  });
}

const shapes = { size: fc.integer({ min: 1, max: 30 }), complex: fc.boolean(), seed: fc.nat() };

describe.each(ways)('LU with pivoting: %s', (_, factorised, zeros) => {
  test('x solves A·x = b', () => {
    fc.assert(
      fc.property(fc.record(shapes), ({ size, complex, seed }) => {
        const a = drawn(size, complex, seed, zeros);
        // Whatever else is missing: no row and no column is empty.
        for (let k = 0; k < size; k++) a.re[k * size + ((k + 1) % size)]! += 1;
        const b = vector(size, complex);
        b.re.set(drawn(size, complex, seed + 1, 0).re.subarray(0, size));
        const lu = factorised(a);
        expect(lu.rank).toBe(size);
        for (const [k, row] of product(a, lu.solve(b)).entries())
          expect(Math.hypot(row.re - b.re[k]!, row.im)).toBeLessThan(1e-12 * (row.size + Math.abs(b.re[k]!)));
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  test('a matrix with an empty pivot in every place of its diagonal', () => {
    // A cyclic shift: no elimination without exchange of rows gets anywhere.
    const size = 5;
    const shift: Matrix = { size, re: new Float64Array(size * size), im: null };
    for (let k = 0; k < size; k++) shift.re[k * size + ((k + 1) % size)] = 1;
    const b = { re: Float64Array.from([1, 2, 3, 4, 5]), im: null };
    expect([...factorised(shift).solve(b).re]).toEqual([5, 1, 2, 3, 4]);
  });
});

describe('sparse LU', () => {
  test('of a singular matrix: its rank, what it maps to zero, and which equations say the same', () => {
    fc.assert(
      fc.property(fc.record({ ...shapes, size: fc.integer({ min: 3, max: 20 }) }), ({ size, complex, seed }) => {
        const a = drawn(size, complex, seed, seed % 2 === 0 ? 0.3 : 0.7);
        // The last row is the first and j times the second (of a real matrix: their sum), the last column twice the first.
        const last = (size - 1) * size;
        for (let k = 0; k < size; k++) {
          a.re[last + k] = a.re[k]! + (a.im ? -a.im[size + k]! : a.re[size + k]!);
          if (a.im) a.im[last + k] = a.im[k]! + a.re[size + k]!;
        }
        for (const part of a.im ? [a.re, a.im] : [a.re])
          for (let k = 0; k < size; k++) part[k * size + size - 1] = 2 * part[k * size]!;
        const lu = sparse(a);
        expect(lu.rank).toBeLessThan(size);
        expect(lu.nullVectors().length).toBe(size - lu.rank);
        for (const x of lu.nullVectors())
          for (const row of product(a, x)) expect(Math.hypot(row.re, row.im)).toBeLessThan(1e-9 * (row.size || 1));
        for (const y of lu.spareRows())
          for (const row of product(a, y, true))
            expect(Math.hypot(row.re, row.im)).toBeLessThan(1e-9 * (row.size || 1));
      }),
      { seed: 2, numRuns: 100 },
    );
  });
});

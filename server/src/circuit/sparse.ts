import type { Lu } from './lu';
import { type Entries, type Vector, vector } from './matrix';
import { minimumDegree } from './ordering';

/** As for a dense matrix: what rounding leaves of a zero, rows scaled to a largest entry near one. */
const nothing = 1e-14;
/** An unknown's own equation is taken for it where its entry is at least this share of the column's largest: that keeps fill low. */
const own = 0.1;

/** As of a small matrix, and what a singular one leaves open. */
export interface SparseLu extends Lu {
  /** One x with A·x = 0 for every unknown that nothing determines. */
  nullVectors(): Vector[];
  /** One y with yᵀ·A = 0 for every spare equation: the equations that say the same, or contradict each other. */
  spareRows(): Vector[];
}

/** Columns of a triangular factor, one behind the other. */
class Columns {
  readonly start: number[] = [0];
  readonly at: number[] = [];
  readonly re: number[] = [];
  readonly im: number[] = [];

  add(at: number, re: number, im: number): void {
    this.at.push(at);
    this.re.push(re);
    this.im.push(im);
  }
  close(): void {
    this.start.push(this.at.length);
  }
}

/**
 * LU of a sparse matrix column by column, each solved against those before over its own pattern alone (Gilbert and Peierls, SIAM J.
 * Sci. Stat. Comput. 9, 1988, 862; from memory), pivots by threshold, columns by minimum degree: what a network of n nodes costs grows
 * little faster than n. A column in which no pivot is left reveals the rank.
 * @param without rows left empty
 */
export function factoriseSparse(
  entries: Entries,
  size: number,
  complex: boolean,
  without: ReadonlySet<number>,
): SparseLu {
  const { start, row, re, im, scales } = compressed(entries, size, without);
  const order = minimumDegree(size, entries.row, entries.column);
  const lower = new Columns();
  const upper = new Columns();
  /** Row → the pivot it is; by pivot its row, its column and its value. */
  const pivotOf = new Int32Array(size).fill(-1);
  const rows: number[] = [];
  const columns: number[] = [];
  const pivotRe: number[] = [];
  const pivotIm: number[] = [];
  /** Columns without a pivot, with where in `upper` each stands. */
  const free: { readonly column: number; readonly place: number }[] = [];
  let smallest = size === 0 ? 1 : Number.POSITIVE_INFINITY;

  const xRe = new Float64Array(size);
  const xIm = new Float64Array(size);
  const marked = new Int32Array(size).fill(-1);
  const pattern = new Int32Array(size);
  const stack = new Int32Array(size);
  const next = new Int32Array(size);

  /** Rows a column reaches through L, those that others hang on last; returns how many. */
  function reach(column: number): number {
    let count = 0;
    for (let p = start[column]!; p < start[column + 1]!; p++) {
      if (marked[row[p]!] === column) continue;
      let depth = 0;
      stack[0] = row[p]!;
      marked[row[p]!] = column;
      next[0] = pivotOf[row[p]!]! < 0 ? 0 : lower.start[pivotOf[row[p]!]!]!;
      while (depth >= 0) {
        const at = stack[depth]!;
        const pivot = pivotOf[at]!;
        const end = pivot < 0 ? 0 : lower.start[pivot + 1]!;
        let deeper = false;
        while (next[depth]! < end) {
          const to = lower.at[next[depth]!++]!;
          if (marked[to] === column) continue;
          marked[to] = column;
          depth++;
          stack[depth] = to;
          next[depth] = pivotOf[to]! < 0 ? 0 : lower.start[pivotOf[to]!]!;
          deeper = true;
          break;
        }
        if (deeper) continue;
        pattern[count++] = at;
        depth--;
      }
    }
    return count;
  }

  for (let k = 0; k < size; k++) {
    const column = order[k]!;
    const count = reach(column);
    for (let p = start[column]!; p < start[column + 1]!; p++) {
      xRe[row[p]!] = re[p]!;
      xIm[row[p]!] = im[p]!;
    }
    let most = 0;
    let best = -1;
    for (let n = count - 1; n >= 0; n--) {
      const at = pattern[n]!;
      const pivot = pivotOf[at]!;
      const vRe = xRe[at]!;
      const vIm = xIm[at]!;
      if (pivot < 0) {
        const square = vRe * vRe + vIm * vIm;
        if (square > most || (square === most && square > 0 && at < best)) {
          most = square;
          best = at;
        }
        continue;
      }
      if (vRe === 0 && vIm === 0) continue;
      upper.add(pivot, vRe, vIm);
      for (let p = lower.start[pivot]!; p < lower.start[pivot + 1]!; p++) {
        const to = lower.at[p]!;
        xRe[to]! -= lower.re[p]! * vRe - lower.im[p]! * vIm;
        xIm[to]! -= lower.re[p]! * vIm + lower.im[p]! * vRe;
      }
    }
    upper.close();
    if (most <= nothing * nothing) free.push({ column, place: k });
    else {
      if (pivotOf[column]! < 0 && marked[column] === column) {
        const square = xRe[column]! ** 2 + xIm[column]! ** 2;
        if (square >= own * own * most) {
          best = column;
          most = square;
        }
      }
      smallest = Math.min(smallest, Math.sqrt(most));
      const pRe = xRe[best]!;
      const pIm = xIm[best]!;
      for (let n = 0; n < count; n++) {
        const at = pattern[n]!;
        const vRe = xRe[at]!;
        const vIm = xIm[at]!;
        if (pivotOf[at]! >= 0 || at === best || (vRe === 0 && vIm === 0)) continue;
        lower.add(at, (vRe * pRe + vIm * pIm) / most, (vIm * pRe - vRe * pIm) / most);
      }
      lower.close();
      pivotOf[best] = rows.length;
      rows.push(best);
      columns.push(column);
      pivotRe.push(pRe);
      pivotIm.push(pIm);
    }
    for (let n = 0; n < count; n++) {
      xRe[pattern[n]!] = 0;
      xIm[pattern[n]!] = 0;
    }
  }
  const rank = rows.length;
  const taken = new Set(free.map(({ place }) => place));
  /** By pivot, where in `upper` its column stands. */
  const places = Array.from({ length: size }, (_, k) => k).filter((k) => !taken.has(k));

  /** target −= column `place` of U times a value; `target` by row. */
  function subtract(target: Vector, place: number, vRe: number, vIm: number): void {
    for (let p = upper.start[place]!; p < upper.start[place + 1]!; p++) {
      const at = rows[upper.at[p]!]!;
      target.re[at]! -= upper.re[p]! * vRe - upper.im[p]! * vIm;
      if (target.im) target.im[at]! -= upper.re[p]! * vIm + upper.im[p]! * vRe;
    }
  }

  /** Solves U·x = y over the pivots; `y`, by row, is used up, `x` holds what is free. */
  function backward(y: Vector, x: Vector): Vector {
    for (let k = rank - 1; k >= 0; k--) {
      const yRe = y.re[rows[k]!]!;
      const yIm = y.im ? y.im[rows[k]!]! : 0;
      if (yRe === 0 && yIm === 0) continue;
      const square = pivotRe[k]! ** 2 + pivotIm[k]! ** 2;
      const vRe = (yRe * pivotRe[k]! + yIm * pivotIm[k]!) / square;
      const vIm = (yIm * pivotRe[k]! - yRe * pivotIm[k]!) / square;
      x.re[columns[k]!] = vRe;
      if (x.im) x.im[columns[k]!] = vIm;
      subtract(y, places[k]!, vRe, vIm);
    }
    return x;
  }

  function solve(b: Vector): Vector {
    const y = vector(size, complex);
    for (let at = 0; at < size; at++) {
      y.re[at] = b.re[at]! * scales[at]!;
      if (y.im && b.im) y.im[at] = b.im[at]! * scales[at]!;
    }
    for (let k = 0; k < rank; k++) {
      const vRe = y.re[rows[k]!]!;
      const vIm = y.im ? y.im[rows[k]!]! : 0;
      if (vRe === 0 && vIm === 0) continue;
      for (let p = lower.start[k]!; p < lower.start[k + 1]!; p++) {
        const at = lower.at[p]!;
        y.re[at]! -= lower.re[p]! * vRe - lower.im[p]! * vIm;
        if (y.im) y.im[at]! -= lower.re[p]! * vIm + lower.im[p]! * vRe;
      }
    }
    return backward(y, vector(size, complex));
  }

  function nullVectors(): Vector[] {
    return free.map(({ column, place }) => {
      const x = vector(size, complex);
      x.re[column] = 1;
      const y = vector(size, complex);
      subtract(y, place, 1, 0);
      return backward(y, x);
    });
  }

  function spareRows(): Vector[] {
    return [...pivotOf.keys()]
      .filter((at) => pivotOf[at]! < 0)
      .map((spare) => {
        const y = vector(size, complex);
        y.re[spare] = 1;
        for (let k = rank - 1; k >= 0; k--) {
          let sumRe = 0;
          let sumIm = 0;
          for (let p = lower.start[k]!; p < lower.start[k + 1]!; p++) {
            const at = lower.at[p]!;
            const yIm = y.im ? y.im[at]! : 0;
            sumRe -= lower.re[p]! * y.re[at]! - lower.im[p]! * yIm;
            sumIm -= lower.re[p]! * yIm + lower.im[p]! * y.re[at]!;
          }
          y.re[rows[k]!] = sumRe;
          if (y.im) y.im[rows[k]!] = sumIm;
        }
        for (let at = 0; at < size; at++) {
          y.re[at]! *= scales[at]!;
          if (y.im) y.im[at]! *= scales[at]!;
        }
        return y;
      });
  }

  return { rank, smallest, solve, nullVectors, spareRows };
}

/** A matrix by columns, entries at one place added up, each row scaled by a power of two (exact) to a largest entry near one. */
function compressed(entries: Entries, size: number, without: ReadonlySet<number>) {
  const start = new Int32Array(size + 1);
  const kept = [...entries.row.keys()].filter((k) => !without.has(entries.row[k]!));
  for (const k of kept) start[entries.column[k]! + 1]!++;
  for (let column = 0; column < size; column++) start[column + 1]! += start[column]!;
  const fill = start.slice(0, size);
  const row = new Int32Array(kept.length);
  const re = new Float64Array(kept.length);
  const im = new Float64Array(kept.length);
  for (const k of kept) {
    const column = entries.column[k]!;
    let at = start[column]!;
    while (at < fill[column]! && row[at] !== entries.row[k]) at++;
    if (at === fill[column]!) {
      fill[column]!++;
      row[at] = entries.row[k]!;
    }
    re[at]! += entries.re[k]!;
    im[at]! += entries.im[k]!;
  }
  // Close the gaps that adding up has left.
  let count = 0;
  for (let column = 0; column < size; column++) {
    const from = start[column]!;
    start[column] = count;
    for (let p = from; p < fill[column]!; p++) {
      row[count] = row[p]!;
      re[count] = re[p]!;
      im[count++] = im[p]!;
    }
  }
  start[size] = count;
  const largest = new Float64Array(size);
  for (let p = 0; p < count; p++) largest[row[p]!] = Math.max(largest[row[p]!]!, Math.abs(re[p]!), Math.abs(im[p]!));
  const scales = largest.map((most) => (most === 0 ? 1 : 2 ** -Math.round(Math.log2(most))));
  for (let p = 0; p < count; p++) {
    re[p]! *= scales[row[p]!]!;
    im[p]! *= scales[row[p]!]!;
  }
  return { start, row, re, im, scales };
}

import { type Matrix, type Vector, vector } from './matrix';

/** A pivot this much smaller than the largest entry of its row is what rounding leaves of a zero. */
const nothing = 1e-14;

/** A reusable factorisation of a square matrix that may be singular. */
export interface Lu {
  /** Less than the size where the matrix is singular. */
  readonly rank: number;
  /** The smallest pivot, rows scaled to a largest entry near one: near zero means ill-conditioned. */
  readonly smallest: number;
  /** x of A·x = b. Where A is singular the unknowns nothing determines are zero and spare equations are not looked at. */
  solve(b: Vector): Vector;
}

/**
 * Gaussian elimination of a small dense matrix with row pivoting on row-scaled entries; a network's own is in sparse.ts. A
 * column in which no pivot is left is put off to the end, which reveals the rank (Golub and Van Loan, Matrix Computations,
 * ch. 3; from memory). The matrix is overwritten.
 */
export function factorise(matrix: Matrix): Lu {
  const { size, re, im } = matrix;
  const scales = scaleRows(matrix);
  const rows = Int32Array.from({ length: size }, (_, k) => k);
  const columns = Int32Array.from({ length: size }, (_, k) => k);
  const live = new Int32Array(size);
  let rank = size;
  let smallest = size === 0 ? 1 : Number.POSITIVE_INFINITY;

  for (let k = 0; k < rank; ) {
    const column = columns[k]!;
    let best = nothing * nothing;
    let at = -1;
    for (let i = k; i < size; i++) {
      const place = rows[i]! * size + column;
      const square = re[place]! * re[place]! + (im ? im[place]! * im[place]! : 0);
      if (square > best) {
        best = square;
        at = i;
      }
    }
    if (at < 0) {
      rank--;
      columns[k] = columns[rank]!;
      columns[rank] = column;
      continue;
    }
    smallest = Math.min(smallest, Math.sqrt(best));
    const pivotRow = rows[at]!;
    rows[at] = rows[k]!;
    rows[k] = pivotRow;
    eliminate(k, column, pivotRow);
    k++;
  }

  function eliminate(k: number, column: number, pivotRow: number): void {
    const base = pivotRow * size;
    let count = 0;
    for (let j = k + 1; j < size; j++) {
      const other = columns[j]!;
      if (re[base + other] !== 0 || (im && im[base + other] !== 0)) live[count++] = other;
    }
    const pivotRe = re[base + column]!;
    const pivotIm = im ? im[base + column]! : 0;
    const square = pivotRe * pivotRe + pivotIm * pivotIm;
    for (let i = k + 1; i < size; i++) {
      const row = rows[i]! * size;
      const place = row + column;
      const aRe = re[place]!;
      if (im) {
        const aIm = im[place]!;
        if (aRe === 0 && aIm === 0) continue;
        const factorRe = (aRe * pivotRe + aIm * pivotIm) / square;
        const factorIm = (aIm * pivotRe - aRe * pivotIm) / square;
        re[place] = factorRe;
        im[place] = factorIm;
        for (let j = 0; j < count; j++) {
          const other = live[j]!;
          const uRe = re[base + other]!;
          const uIm = im[base + other]!;
          re[row + other]! -= factorRe * uRe - factorIm * uIm;
          im[row + other]! -= factorRe * uIm + factorIm * uRe;
        }
      } else if (aRe !== 0) {
        const factor = aRe / pivotRe;
        re[place] = factor;
        for (let j = 0; j < count; j++) re[row + live[j]!]! -= factor * re[base + live[j]!]!;
      }
    }
  }

  /** Solves U·x = y over the first `rank` pivots; `x` is indexed by unknown, `y` by pivot. */
  function backward(y: Vector, x: Vector): Vector {
    for (let k = rank - 1; k >= 0; k--) {
      const base = rows[k]! * size;
      let sumRe = y.re[k]!;
      let sumIm = y.im ? y.im[k]! : 0;
      for (let j = k + 1; j < size; j++) {
        const column = columns[j]!;
        const uRe = re[base + column]!;
        if (im && x.im) {
          const uIm = im[base + column]!;
          sumRe -= uRe * x.re[column]! - uIm * x.im[column]!;
          sumIm -= uRe * x.im[column]! + uIm * x.re[column]!;
        } else sumRe -= uRe * x.re[column]!;
      }
      const column = columns[k]!;
      const pivotRe = re[base + column]!;
      if (im && x.im) {
        const pivotIm = im[base + column]!;
        const square = pivotRe * pivotRe + pivotIm * pivotIm;
        x.re[column] = (sumRe * pivotRe + sumIm * pivotIm) / square;
        x.im[column] = (sumIm * pivotRe - sumRe * pivotIm) / square;
      } else x.re[column] = sumRe / pivotRe;
    }
    return x;
  }

  function solve(b: Vector): Vector {
    const y = vector(size, im !== null);
    for (let k = 0; k < rank; k++) {
      const row = rows[k]!;
      const base = row * size;
      let sumRe = b.re[row]! * scales[row]!;
      let sumIm = b.im ? b.im[row]! * scales[row]! : 0;
      for (let j = 0; j < k; j++) {
        const place = base + columns[j]!;
        const lRe = re[place]!;
        if (im && y.im) {
          const lIm = im[place]!;
          if (lRe === 0 && lIm === 0) continue;
          sumRe -= lRe * y.re[j]! - lIm * y.im[j]!;
          sumIm -= lRe * y.im[j]! + lIm * y.re[j]!;
        } else sumRe -= lRe * y.re[j]!;
      }
      y.re[k] = sumRe;
      if (y.im) y.im[k] = sumIm;
    }
    return backward(y, vector(size, im !== null));
  }

  return { rank, smallest, solve };
}

/** Multiplies each row by a power of two (exact) that brings its largest entry near one; returns the multipliers. */
function scaleRows({ size, re, im }: Matrix): Float64Array {
  return Float64Array.from({ length: size }, (_, row) => {
    let largest = 0;
    for (let k = row * size; k < (row + 1) * size; k++)
      largest = Math.max(largest, Math.abs(re[k]!), im ? Math.abs(im[k]!) : 0);
    if (largest === 0) return 1;
    const by = 2 ** -Math.round(Math.log2(largest));
    for (let k = row * size; k < (row + 1) * size; k++) {
      re[k]! *= by;
      if (im) im[k]! *= by;
    }
    return by;
  });
}

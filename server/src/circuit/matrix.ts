/**
 * A square matrix in row order on flat arrays; `im` is null where every entry is real (DC), which spares three quarters of
 * the work.
 */
export interface Matrix {
  readonly size: number;
  readonly re: Float64Array;
  readonly im: Float64Array | null;
}

/** A column of numbers; `im` as in the matrix. */
export interface Vector {
  readonly re: Float64Array;
  readonly im: Float64Array | null;
}

/** A matrix as its non-zero entries; several at one place add up. */
export interface Entries {
  readonly row: Int32Array;
  readonly column: Int32Array;
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** The largest entry of each row. */
  readonly widest: Float64Array;
}

/** A column of zeros; complex, or real alone. */
export const vector = (size: number, complex: boolean): Vector => ({
  re: new Float64Array(size),
  im: complex ? new Float64Array(size) : null,
});

/** target += by · source. */
export function accumulate(target: Vector, source: Vector, re: number, im: number): void {
  for (let k = 0; k < target.re.length; k++) {
    const sourceRe = source.re[k]!;
    const sourceIm = source.im ? source.im[k]! : 0;
    target.re[k]! += re * sourceRe - im * sourceIm;
    if (target.im) target.im[k]! += re * sourceIm + im * sourceRe;
  }
}

/**
 * How far each equation of A·x = b is missed: |b − A·x| as a fraction of its largest coefficient times the largest unknown,
 * and of its right-hand side (row-wise backward error: Higham, Accuracy and Stability of Numerical Algorithms, ch. 7; from
 * memory). Sizes are |re| + |im|.
 */
export function backwardErrors(entries: Entries, x: Vector, b: Vector): Float64Array {
  const size = b.re.length;
  const re = b.re.slice();
  const im = b.im?.slice() ?? null;
  for (let k = 0; k < entries.row.length; k++) {
    const row = entries.row[k]!;
    const column = entries.column[k]!;
    const aRe = entries.re[k]!;
    const xRe = x.re[column]!;
    if (im && x.im) {
      const aIm = entries.im[k]!;
      const xIm = x.im[column]!;
      re[row]! -= aRe * xRe - aIm * xIm;
      im[row]! -= aRe * xIm + aIm * xRe;
    } else re[row]! -= aRe * xRe;
  }
  const top = largest(x);
  for (let k = 0; k < size; k++) {
    const against = Math.abs(b.re[k]!) + (b.im ? Math.abs(b.im[k]!) : 0) + entries.widest[k]! * top;
    const missed = Math.abs(re[k]!) + (im ? Math.abs(im[k]!) : 0);
    re[k] = against === 0 ? 0 : missed / against;
  }
  return re;
}

/** The worst of `backwardErrors`. */
export const worstError = (entries: Entries, x: Vector, b: Vector): number =>
  largest({ re: backwardErrors(entries, x, b), im: null });

/** The size of the largest component, as |re| + |im|. */
export function largest({ re, im }: Vector): number {
  let size = 0;
  for (let k = 0; k < re.length; k++) size = Math.max(size, Math.abs(re[k]!) + (im ? Math.abs(im[k]!) : 0));
  return size;
}

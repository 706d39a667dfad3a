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
  readonly row: number[];
  readonly column: number[];
  readonly re: number[];
  readonly im: number[];
}

export const vector = (size: number, complex: boolean): Vector => ({
  re: new Float64Array(size),
  im: complex ? new Float64Array(size) : null,
});

/** Fills a matrix from its entries, leaving the rows named in `without` empty. */
export function dense(entries: Entries, size: number, complex: boolean, without: ReadonlySet<number>): Matrix {
  const re = new Float64Array(size * size);
  const im = complex ? new Float64Array(size * size) : null;
  for (let k = 0; k < entries.row.length; k++) {
    const row = entries.row[k]!;
    if (without.has(row)) continue;
    const at = row * size + entries.column[k]!;
    re[at]! += entries.re[k]!;
    if (im) im[at]! += entries.im[k]!;
  }
  return { size, re, im };
}

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
 * memory).
 */
export function backwardErrors(entries: Entries, x: Vector, b: Vector): Float64Array {
  const re = Float64Array.from(b.re);
  const im = b.im ? Float64Array.from(b.im) : new Float64Array(re.length);
  const given = magnitudes(b);
  const widest = new Float64Array(re.length);
  const top = largest(magnitudes(x));
  for (let k = 0; k < entries.row.length; k++) {
    const row = entries.row[k]!;
    const column = entries.column[k]!;
    const aRe = entries.re[k]!;
    const aIm = entries.im[k]!;
    const xRe = x.re[column]!;
    const xIm = x.im ? x.im[column]! : 0;
    re[row]! -= aRe * xRe - aIm * xIm;
    im[row]! -= aRe * xIm + aIm * xRe;
    widest[row] = Math.max(widest[row]!, Math.hypot(aRe, aIm));
  }
  return given.map((own, k) => {
    const against = own + widest[k]! * top;
    return against === 0 ? 0 : Math.hypot(re[k]!, im[k]!) / against;
  });
}

export const largest = (values: Float64Array): number => values.reduce((worst, value) => Math.max(worst, value), 0);

export const magnitudes = ({ re, im }: Vector): Float64Array =>
  re.map((value, k) => (im ? Math.hypot(value, im[k]!) : Math.abs(value)));

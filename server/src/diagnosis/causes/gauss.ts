/** Gaussian densities with a full covariance, for the few dozen figures a bench gives. Matrices are square, by rows. */

/** L of K = L·Lᵀ in place of K's lower half; the upper half is left alone. K must be positive definite. */
function cholesky(k: Float64Array, size: number): void {
  for (let i = 0; i < size; i++) {
    const own = i * size;
    for (let j = 0; j <= i; j++) {
      const other = j * size;
      let sum = k[own + j]!;
      for (let m = 0; m < j; m++) sum -= k[own + m]! * k[other + m]!;
      // Rounding may leave a pivot at or under zero where two figures move as one.
      k[own + j] = i === j ? Math.sqrt(Math.max(sum, 1e-18)) : sum / k[other + j]!;
    }
  }
}

/** What a residual is worth under a covariance. */
export interface Density {
  /** ln of the density. */
  readonly log: number;
  /** rᵀ·K⁻¹·r. */
  readonly square: number;
  /** Of K⁻¹ the diagonal, and then as many entries beside it (k with k + 1). */
  readonly band: Float64Array;
  /** K⁻¹·r. */
  readonly weighted: Float64Array;
}

const ln2Pi = Math.log(2 * Math.PI);

/** Density of a residual under a covariance, which is used up. */
export function density(residual: Float64Array, covariance: Float64Array): Density {
  const size = residual.length;
  cholesky(covariance, size);
  const l = covariance;
  let logDet = 0;
  let square = 0;
  const band = new Float64Array(2 * size);
  const weighted = new Float64Array(size);
  // L⁻¹ row by row; of K⁻¹ = L⁻ᵀ·L⁻¹ only the diagonal and what stands beside it are wanted.
  const rows = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    const own = i * size;
    const pivot = l[own + i]!;
    logDet += Math.log(pivot);
    // Row i of L⁻¹ = (eᵢ − Σ Lᵢₖ·row k)/Lᵢᵢ.
    for (let k = 0; k < i; k++) {
      const factor = l[own + k]!;
      if (factor === 0) continue;
      const row = k * size;
      for (let j = 0; j <= k; j++) rows[own + j]! -= factor * rows[row + j]!;
    }
    for (let j = 0; j < i; j++) rows[own + j]! /= pivot;
    rows[own + i] = 1 / pivot;
    let whitened = 0;
    for (let j = 0; j <= i; j++) whitened += rows[own + j]! * residual[j]!;
    square += whitened * whitened;
    for (let j = 0; j <= i; j++) {
      const value = rows[own + j]!;
      weighted[j]! += value * whitened;
      band[j]! += value * value;
      if (j < i) band[size + j]! += value * rows[own + j + 1]!;
    }
  }
  return { log: -0.5 * (square + size * ln2Pi) - logDet, square, band, weighted };
}

/** The density of one block of one or two figures given all the others, and how many standard deviations (as a square) it is off. */
export function given(
  { band, weighted }: Density,
  size: number,
  from: number,
  count: number,
): { log: number; square: number } {
  const a = band[from]!;
  const x = weighted[from]!;
  if (count === 1) return { log: 0.5 * (Math.log(a) - ln2Pi - (x * x) / a), square: (x * x) / a };
  const b = band[size + from]!;
  const d = band[from + 1]!;
  const y = weighted[from + 1]!;
  const det = Math.max(a * d - b * b, 1e-300);
  const square = (d * x * x - 2 * b * x * y + a * y * y) / det;
  return { log: 0.5 * (Math.log(det) - square) - ln2Pi, square };
}

/** ln of the normal density of independent figures with one standard deviation. */
export const spread = (values: readonly number[], sd: number): number =>
  values.reduce((sum, value) => sum - 0.5 * (ln2Pi + (value / sd) ** 2) - Math.log(sd), 0);

/** ln Σ exp. */
export function logSum(values: readonly number[]): number {
  const top = Math.max(...values);
  return Number.isFinite(top) ? top + Math.log(values.reduce((sum, value) => sum + Math.exp(value - top), 0)) : top;
}

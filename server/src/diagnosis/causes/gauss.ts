/** Gaussian densities with a full covariance, for the few dozen figures a bench gives. Matrices are square, by rows. */

/** L of K = L·Lᵀ in place of K's lower half; the upper half is left alone. K must be positive definite. */
function cholesky(k: Float64Array, size: number): void {
  for (let i = 0; i < size; i++)
    for (let j = 0; j <= i; j++) {
      let sum = k[i * size + j]!;
      for (let m = 0; m < j; m++) sum -= k[i * size + m]! * k[j * size + m]!;
      // Rounding may leave a pivot at or under zero where two figures move as one.
      k[i * size + j] = i === j ? Math.sqrt(Math.max(sum, 1e-18)) : sum / k[j * size + j]!;
    }
}

/** What a residual is worth under a covariance. */
export interface Density {
  /** ln of the density. */
  readonly log: number;
  /** rᵀ·K⁻¹·r. */
  readonly square: number;
  /** K⁻¹ and K⁻¹·r. */
  readonly inverse: Float64Array;
  readonly weighted: Float64Array;
}

const ln2Pi = Math.log(2 * Math.PI);

/** Density of a residual under a covariance, which is used up. */
export function density(residual: Float64Array, covariance: Float64Array): Density {
  const size = residual.length;
  cholesky(covariance, size);
  const l = covariance;
  let logDet = 0;
  for (let i = 0; i < size; i++) logDet += Math.log(l[i * size + i]!);
  // L⁻¹ by forward substitution, then K⁻¹ = L⁻ᵀ·L⁻¹.
  const m = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    m[j * size + j] = 1 / l[j * size + j]!;
    for (let i = j + 1; i < size; i++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum -= l[i * size + k]! * m[k * size + j]!;
      m[i * size + j] = sum / l[i * size + i]!;
    }
  }
  const inverse = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < size; k++) sum += m[k * size + i]! * m[k * size + j]!;
      inverse[i * size + j] = sum;
      inverse[j * size + i] = sum;
    }
  const weighted = new Float64Array(size);
  let square = 0;
  for (let i = 0; i < size; i++) {
    let sum = 0;
    for (let j = 0; j < size; j++) sum += inverse[i * size + j]! * residual[j]!;
    weighted[i] = sum;
    square += sum * residual[i]!;
  }
  return { log: -0.5 * (square + size * ln2Pi) - logDet, square, inverse, weighted };
}

/** The density of one block of one or two figures given all the others, and how many standard deviations (as a square) it is off. */
export function given(
  { inverse, weighted }: Density,
  size: number,
  from: number,
  count: number,
): { log: number; square: number } {
  const a = inverse[from * size + from]!;
  const x = weighted[from]!;
  if (count === 1) return { log: 0.5 * (Math.log(a) - ln2Pi - (x * x) / a), square: (x * x) / a };
  const b = inverse[from * size + from + 1]!;
  const d = inverse[(from + 1) * size + from + 1]!;
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

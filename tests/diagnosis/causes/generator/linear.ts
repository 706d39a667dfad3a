/** dᵀ·K⁻¹·d by Gaussian elimination with pivoting; K by rows. Of the tests' own, so that nothing is shared with what they test. */
export function mahalanobis(difference: readonly number[], covariance: readonly (readonly number[])[]): number {
  const size = difference.length;
  const rows = covariance.map((row, i) => [...row, difference[i]!]);
  for (let k = 0; k < size; k++) {
    let best = k;
    for (let i = k + 1; i < size; i++) if (Math.abs(rows[i]![k]!) > Math.abs(rows[best]![k]!)) best = i;
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    for (let i = k + 1; i < size; i++) {
      const factor = rows[i]![k]! / rows[k]![k]!;
      if (factor !== 0) for (let j = k; j <= size; j++) rows[i]![j]! -= factor * rows[k]![j]!;
    }
  }
  const x = new Array<number>(size).fill(0);
  for (let k = size - 1; k >= 0; k--) {
    let sum = rows[k]![size]!;
    for (let j = k + 1; j < size; j++) sum -= rows[k]![j]! * x[j]!;
    x[k] = sum / rows[k]![k]!;
  }
  return difference.reduce((sum, value, i) => sum + value * x[i]!, 0);
}

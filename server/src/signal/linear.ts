/** A square matrix from its entries, one array a row. */
export const square = (size: number, entry: (j: number, k: number) => number): Float64Array[] =>
  Array.from({ length: size }, (_, j) => Float64Array.from({ length: size }, (_, k) => entry(j, k)));

/** Solves a small system by elimination with pivoting, or null where it is singular to working precision. */
export function solve(matrix: readonly Float64Array[], right: Float64Array): Float64Array | null {
  const n = right.length;
  const rows = matrix.map((row, j) => Float64Array.from([...row, right[j]!]));
  const scale = Math.max(...rows.flatMap((row) => [...row.subarray(0, n)].map(Math.abs)));
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let j = k + 1; j < n; j++) if (Math.abs(rows[j]![k]!) > Math.abs(rows[best]![k]!)) best = j;
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    const pivot = rows[k]![k]!;
    if (!(Math.abs(pivot) > 1e-12 * scale)) return null;
    for (let j = k + 1; j < n; j++) {
      const factor = rows[j]![k]! / pivot;
      if (factor !== 0) for (let i = k; i <= n; i++) rows[j]![i]! -= factor * rows[k]![i]!;
    }
  }
  const out = new Float64Array(n);
  for (let j = n - 1; j >= 0; j--) {
    let sum = rows[j]![n]!;
    for (let i = j + 1; i < n; i++) sum -= rows[j]![i]! * out[i]!;
    out[j] = sum / rows[j]![j]!;
  }
  return out;
}

/** Two ways of answering held against each other on the same cases: only where they differ is anything learnt. */

/** Two-sided exact sign test (McNemar's, exact) of `a` cases that only the one got right and `b` that only the other did. */
export function signTest(a: number, b: number): number {
  const n = a + b;
  let tail = 0;
  for (let k = 0; k <= Math.min(a, b); k++) tail += Math.exp(lnChoose(n, k) - n * Math.LN2);
  return Math.min(1, 2 * tail);
}

/**
 * 95 % interval of the difference of two paired proportions, (a − b)/n, by Wald's formula with half a case added to every cell
 * (Agresti and Min, Statistics in Medicine 24, 2005, 729; from memory).
 */
export function pairedInterval(a: number, b: number, n: number): [number, number] {
  const [x, y, all] = [a + 0.5, b + 0.5, n + 2];
  const middle = (x - y) / all;
  const half = (1.96 * Math.sqrt(x + y - (x - y) ** 2 / all)) / all;
  return [middle - half, middle + half];
}

/** Upper 95 % bound of a proportion of which `k` of `n` were seen: exact (Clopper and Pearson, Biometrika 26, 1934, 404), by bisection. */
export function upperBound(k: number, n: number): number {
  let [low, high] = [0, 1];
  for (let step = 0; step < 60; step++) {
    const p = (low + high) / 2;
    let tail = 0;
    for (let j = 0; j <= k; j++) tail += Math.exp(lnChoose(n, j) + j * Math.log(p) + (n - j) * Math.log1p(-p));
    if (tail > 0.05) low = p;
    else high = p;
  }
  return low;
}

function lnChoose(n: number, k: number): number {
  let sum = 0;
  for (let j = 1; j <= k; j++) sum += Math.log((n - k + j) / j);
  return sum;
}

/** Two ways of answering held against each other on the same cases: only where they differ is anything learnt. */

/** Two-sided exact sign test (McNemar's, exact) of `a` cases that only the one got right and `b` that only the other did. */
function signTest(a: number, b: number): number {
  const n = a + b;
  let tail = 0;
  for (let k = 0; k <= Math.min(a, b); k++) tail += Math.exp(lnChoose(n, k) - n * Math.LN2);
  return Math.min(1, 2 * tail);
}

/**
 * 95 % interval of the difference of two paired proportions, (a − b)/n, by Wald's formula with half a case added to every cell
 * (Agresti and Min, Statistics in Medicine 24, 2005, 729; from memory).
 */
function pairedInterval(a: number, b: number, n: number): [number, number] {
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

/** Cases on which ours and the other's answer were right or wrong. */
export class Tally {
  private readonly cases = { both: 0, onlyOurs: 0, onlyTheirs: 0, none: 0 };

  add(ours: boolean, theirs: boolean): void {
    this.cases[ours ? (theirs ? 'both' : 'onlyOurs') : theirs ? 'onlyTheirs' : 'none']++;
  }

  get text(): string {
    const { both, onlyOurs, onlyTheirs, none } = this.cases;
    const n = both + onlyOurs + onlyTheirs + none;
    const percent = (part: number) => `${part} of ${n} (${((100 * part) / n).toFixed(1)} %)`;
    const [low, high] = pairedInterval(onlyTheirs, onlyOurs, n).map((share) => (100 * share).toFixed(2));
    return `ours ${percent(both + onlyOurs)}, the ideal observer ${percent(both + onlyTheirs)}; only ours right ${onlyOurs}, only the observer ${onlyTheirs} (exact sign test p = ${signTest(onlyTheirs, onlyOurs).toFixed(2)}); the observer better by ${low} to ${high} points (95 %)`;
  }
}

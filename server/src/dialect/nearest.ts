/** The right spelling nearest to what was written. */

/**
 * Edit distance of two texts: insertions, deletions, replacements and exchanges of neighbours each cost one
 * (optimal string alignment). Gives up with `limit + 1` as soon as the distance must exceed `limit`.
 * Source: F. J. Damerau, A technique for computer detection and correction of spelling errors, CACM 7(3), 1964.
 */
export function editDistance(a: string, b: string, limit = Number.POSITIVE_INFINITY): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let before: number[] = [];
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let cost = Math.min(previous[j]! + 1, current[j - 1]! + 1, previous[j - 1]! + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, before[j - 2]! + 1);
      current.push(cost);
      least = Math.min(least, cost);
    }
    // An exchange reaches two rows back, so only two rows beyond the limit settle it.
    if (least > limit + 1) return limit + 1;
    before = previous;
    previous = current;
  }
  return Math.min(previous[b.length]!, limit + 1);
}

/** How many slips are still a slip: short words have too many neighbours. Common practice, no source. */
const slips = (length: number): number => (length < 3 ? 0 : length < 5 ? 1 : length < 9 ? 2 : 3);

/** Spelling without what people get wrong at no cost to the meaning: case, and `_` or space for `-`. */
export const fold = (text: string): string => text.toLowerCase().replace(/[\s_-]+/g, '-');

/**
 * The candidate nearest to `written`, or undefined where none is near enough to be what was meant.
 * A candidate that differs in case or separators alone always wins; ties go to the first.
 */
export function nearest(written: string, candidates: Iterable<string>): string | undefined {
  // Nothing anyone mistypes is this long, and the distance costs the product of the lengths.
  if (written.length > 64) return undefined;
  const folded = fold(written);
  let best: string | undefined;
  let bestDistance = slips(written.length) + 1;
  for (const candidate of candidates) {
    if (candidate.length > 64) continue;
    const other = fold(candidate);
    if (other === folded) return candidate;
    const distance = editDistance(folded, other, bestDistance - 1);
    if (distance < bestDistance) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

/** The candidate nearest to `written`, else the only one that it cuts short: `lithium` for `lithium-cell`, `grnd` for `ground`. */
export function meant(written: string, candidates: readonly string[]): string | undefined {
  const folded = fold(written);
  const near = nearest(written, candidates);
  if (near !== undefined || folded.length < 3 || written.length > 64) return near;
  for (const cuts of [startsIt, isWordOf, leavesLettersOut]) {
    const found = candidates.filter((candidate) => cuts(folded, fold(candidate)));
    if (found.length > 0) return found.length === 1 ? found[0] : undefined;
  }
  return undefined;
}

const startsIt = (short: string, long: string): boolean => long.startsWith(short);
const isWordOf = (short: string, long: string): boolean => long.split('-').includes(short);

/** Whether `short` is `long` with some letters left out behind the first, and not more than half of them. */
function leavesLettersOut(short: string, long: string): boolean {
  if (short[0] !== long[0] || short.length * 2 < long.length) return false;
  let at = 0;
  for (const letter of long) if (letter === short[at]) at++;
  return at === short.length;
}

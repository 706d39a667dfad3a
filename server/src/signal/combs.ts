import type { Line } from './lines';

/** Lines at whole multiples of one fundamental, fitted by weighted least squares. */
export interface Comb {
  /** Hz, and its standard deviation. */
  readonly fundamental: number;
  readonly sd: number;
  /** The multiples found, rising, and their lines. */
  readonly multiples: readonly number[];
  readonly lines: readonly Line[];
}

/** Multiples beyond this are too dense beside their own uncertainty to mean anything. */
const highestMultiple = 60;
/** Missing teeth after which a comb has ended, unless it was longer already: lines far apart fit any low fundamental. */
const widestGap = 6;
/** The first tooth found is one of so many, and this share of all is there: odd harmonics alone are a half. */
const latestFirst = 3;
const fullness = 0.4;
/** Lines a seed's fundamental is tried from, strongest first, and divisors tried on each. */
const seeds = 40;
const divisors = 6;
/** Farthest a line may lie from its multiple, as a fraction of the fundamental's own place. */
const ratioWithin = 1e-3;
/** Lowest fundamental looked for, Hz. */
const lowest = 5;
/** Chance, over all that is tried, that lines fall on a comb's teeth by accident. */
const alpha = 1e-3;

/**
 * Combs among lines, best first: three lines or more within 0.1 % of whole ratios and within their own uncertainty, more than
 * accident would put there (Poisson, by how many lines there are and how wide the teeth). Of two fundamentals that explain the
 * same lines the higher is meant. A line may belong to two combs, but each has three of its own.
 */
export function findCombs(lines: readonly Line[]): Comb[] {
  const found: Comb[] = [];
  const taken = new Set<Line>();
  const strongest = [...lines].sort((a, b) => b.rms - a.rms).slice(0, seeds);
  const starts = strongest.flatMap((line) =>
    Array.from({ length: divisors }, (_, i) => ({ frequency: line.frequency / (i + 1), sd: line.sd / (i + 1) })),
  );
  const span = lines.at(-1)?.frequency ?? 0;
  for (;;) {
    let best: Comb | null = null;
    let own = 2;
    for (const start of starts) {
      if (start.frequency < lowest) continue;
      const comb = grow(start, lines);
      if (!comb) continue;
      const count = comb.lines.filter((line) => !taken.has(line)).length;
      const better = count > own || (count === own && best !== null && comb.fundamental > best.fundamental * 1.01);
      if (better && count >= 3 && !accidental(comb, lines.length, span, starts.length)) {
        best = comb;
        own = count;
      }
    }
    if (!best) return found;
    for (const line of best.lines) taken.add(line);
    found.push(best);
  }
}

/** Takes in the multiples of a fundamental one after the other, sharpening it as they come; null below three lines. */
function grow(start: { frequency: number; sd: number }, lines: readonly Line[]): Comb | null {
  let comb: Comb = { fundamental: start.frequency, sd: start.sd, multiples: [], lines: [] };
  const top = lines[lines.length - 1]!.frequency;
  for (let m = 1; m <= highestMultiple && m * comb.fundamental <= top * (1 + ratioWithin); m++) {
    const line = nearest(lines, m * comb.fundamental);
    if (m - (comb.multiples.at(-1) ?? 0) > Math.max(widestGap, comb.multiples.at(-1) ?? 0)) break;
    if (Math.abs(line.frequency - m * comb.fundamental) > reach(comb, m, line.sd)) continue;
    comb = fitted([...comb.multiples, m], [...comb.lines, line]);
  }
  const { multiples } = comb;
  if (multiples.length < 3 || multiples[0]! > latestFirst || multiples.length < fullness * multiples.at(-1)!)
    return null;
  // Every second tooth alone belongs to twice the fundamental.
  return multiples.reduce(gcd) > 1 ? null : comb;
}

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

/** How far from tooth `m` a line may lie: four deviations of both, never more than 0.1 % of where it is. */
const reach = (comb: { fundamental: number; sd: number }, m: number, sd: number) =>
  Math.min(ratioWithin * m * comb.fundamental, 4 * Math.hypot(m * comb.sd, sd));

function fitted(multiples: readonly number[], lines: readonly Line[]): Comb {
  let mf = 0;
  let mm = 0;
  lines.forEach(({ frequency, sd }, i) => {
    mf += (multiples[i]! * frequency) / sd ** 2;
    mm += multiples[i]! ** 2 / sd ** 2;
  });
  const fundamental = mf / mm;
  let misfit = 0;
  lines.forEach(({ frequency, sd }, i) => {
    misfit += ((frequency - multiples[i]! * fundamental) / sd) ** 2;
  });
  // Where the lines disagree by more than their deviations, as drifting mains does, that is the measure.
  const scale = lines.length > 1 ? Math.max(1, misfit / (lines.length - 1)) : 1;
  return { fundamental, sd: Math.sqrt(scale / mm), multiples, lines };
}

function nearest(lines: readonly Line[], frequency: number): Line {
  let low = 0;
  let high = lines.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (lines[middle]!.frequency < frequency) low = middle;
    else high = middle;
  }
  const [a, b] = [lines[low]!, lines[high]!];
  return Math.abs(a.frequency - frequency) <= Math.abs(b.frequency - frequency) ? a : b;
}

/** Whether as many lines, strewn evenly over the span, would often fall on so many teeth. */
function accidental(comb: Comb, count: number, span: number, tried: number): boolean {
  const last = Math.min(highestMultiple, Math.floor(span / comb.fundamental));
  const sd = comb.lines.reduce((sum, line) => sum + line.sd, 0) / comb.lines.length;
  let expected = 0;
  for (let m = 2; m <= last; m++) expected += (2 * reach(comb, m, sd) * count) / span;
  // The first line of a comb is its seed. P(at least k) of a Poisson count.
  const hits = comb.lines.length - 1;
  let term = Math.exp(-expected);
  let below = 0;
  for (let k = 0; k < hits; k++) {
    below += term;
    term *= expected / (k + 1);
  }
  // For a small mean the complement of a sum near 1 is rounding; the leading term bounds it.
  const chance = expected < 0.5 ? term / (1 - expected) : 1 - below;
  return chance * tried > alpha;
}

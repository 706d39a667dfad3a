import { type CombSource, combSources, hintAt } from './comb-sources';
import { type Comb, findCombs } from './combs';
import { findLines, type Line } from './lines';

/** A comb with what may make it. */
export interface Signature {
  /** Hz; 95 % confidence interval. */
  readonly fundamental: number;
  readonly interval: readonly [number, number];
  readonly lines: readonly number[];
  /** RMS of its lines together, in the samples' unit. */
  readonly rms: number;
  /** Every source whose fundamental the interval admits; none: a whine of unknown origin. */
  readonly names: readonly string[];
  /** More than one source makes just this. */
  readonly ambiguous: boolean;
  /** Mains hum or its ripple is among the names. */
  readonly mains: boolean;
}

/** A line of no comb, and what it hints at. */
export interface Spur {
  readonly frequency: number;
  readonly sd: number;
  readonly rms: number;
  readonly hint: string | null;
}

export interface Signatures {
  readonly combs: readonly Signature[];
  readonly spurs: readonly Spur[];
}

/**
 * Names what hums, ticks and whines in a record: silence, or what a tone's fit leaves of it. Only a comb of three or more lines
 * is named, by every source its confidence interval admits; a single line is a spur with at most a hint.
 *
 * @param tone Hz of a test tone in or taken out of the record: a comb on it may be its own harmonics, and is called so.
 */
export function signatures(samples: Float64Array, rate: number, tone?: number): Signatures {
  const lines = findLines(samples, rate);
  if (lines.length === 0) return { combs: [], spurs: [] };
  const combs = findCombs(lines);
  const inCombs = new Set<Line>(combs.flatMap((comb) => comb.lines));
  const spurs = lines
    .filter((line) => !inCombs.has(line))
    .sort((a, b) => b.rms - a.rms)
    .map(({ frequency, sd, rms }) => ({ frequency, sd, rms, hint: hintAt(frequency, sd) }));
  return { combs: combs.map((comb) => signature(comb, combs, tone)), spurs };
}

/** RMS of all that mains may have put in (hum and ripple), or null where no such comb was found. */
export function humOf({ combs }: Signatures): number | null {
  const power = combs.filter(({ mains }) => mains).reduce((sum, { rms }) => sum + rms * rms, 0);
  return power > 0 ? Math.sqrt(power) : null;
}

function signature(comb: Comb, all: readonly Comb[], tone: number | undefined): Signature {
  const { fundamental, sd, multiples, lines } = comb;
  const reach = 1.96 * sd;
  const sources = combSources.filter((source) => admits(source, fundamental, reach));
  const names = sources.map(({ name }) => name);
  // A comb on every n-th tooth of a mains comb may be that comb.
  const parent = all.find((other) => other !== comb && isMains(other) && multipleOf(comb, other));
  if (parent) names.push(`harmonics of ${mainsName(parent)}`);
  if (tone !== undefined && tone > 0 && Math.abs(fundamental - tone) <= reach + 1e-4 * tone)
    names.push(`harmonics of the ${Number(tone.toPrecision(6))} Hz tone played`);
  return {
    fundamental,
    interval: [fundamental - reach, fundamental + reach],
    lines: multiples,
    rms: Math.sqrt(lines.reduce((sum, { rms }) => sum + rms * rms, 0)),
    names,
    ambiguous: names.length > 1,
    mains: sources.some(({ mains }) => mains) || parent !== undefined,
  };
}

const admits = (source: CombSource, fundamental: number, reach: number) =>
  Math.abs(fundamental - source.fundamental) <= source.within * source.fundamental + reach;

const mainsSource = (comb: Comb) =>
  combSources.find((source) => source.mains && admits(source, comb.fundamental, 1.96 * comb.sd));
const isMains = (comb: Comb) => mainsSource(comb) !== undefined;
const mainsName = (comb: Comb) => mainsSource(comb)!.name;

function multipleOf(comb: Comb, other: Comb): boolean {
  const m = Math.round(comb.fundamental / other.fundamental);
  return m > 1 && Math.abs(comb.fundamental - m * other.fundamental) <= 2 * Math.hypot(comb.sd, m * other.sd);
}

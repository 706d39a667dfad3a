import type { Candidate, PartIdentity } from './identify';
import type { Numbering } from './numbering';

/** How pins were counted, in words: "fw2210, turned by half". */
export const numberingWords: Readonly<Record<Numbering, string>> = {
  'as-marked': 'counted as marked',
  'half-turn': 'turned by half',
  'quarter-turn': 'turned by a quarter',
  'three-quarter-turn': 'turned by three quarters',
  mirrored: 'mirrored',
};

/** A probability as it is told: never 0 % and never 100 %. */
export const percent = (probability: number): string =>
  probability > 0.995 ? 'more than 99 %' : probability < 0.005 ? 'less than 1 %' : `${Math.round(probability * 100)} %`;

/** Bits as they are told: never none where a pin is named. */
export const bits = (gain: number): string => (gain < 0.1 ? 'less than 0.1 bit' : `${gain.toFixed(1)} bit`);

/** Pins as a list, runs of numbers drawn together: "1–4, 7 and EP"; "none" without any. */
export function pinList(pins: readonly string[]): string {
  const runs: string[][] = [];
  for (const pin of pins) {
    const run = runs.at(-1);
    const last = run?.at(-1);
    if (run && last !== undefined && /^\d+$/.test(pin) && Number(pin) === Number(last) + 1) run.push(pin);
    else runs.push([pin]);
  }
  const parts = runs.flatMap((run) => (run.length > 2 ? [`${run[0]}–${run.at(-1)}`] : run));
  return parts.length === 0 ? 'none' : listed(parts);
}

/** Some things in a sentence: "a, b and c". */
export const listed = (parts: readonly string[]): string =>
  parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;

/** A pinout and how it is counted: "fw2210 turned by half". */
export const named = ({ pinout, numbering }: Pick<Candidate, 'pinout' | 'numbering'>): string =>
  numbering === 'as-marked' ? pinout : `${pinout} ${numberingWords[numbering]}`;

/** The candidates nothing seen tells from the first, as a sentence; undefined where there are none. */
export function tieText({ ties, candidates }: PartIdentity): string | undefined {
  const others = ties.filter(
    (tie) => tie.pinout !== candidates[0]?.pinout || tie.numbering !== candidates[0]?.numbering,
  );
  if (others.length === 0 || !candidates[0]) return undefined;
  const few = [...new Set(others.map(named))];
  const told = few.length > 3 ? [...few.slice(0, 3), `${few.length - 3} more`] : few;
  return `Nothing seen tells ${named(candidates[0])} from ${listed(told)}.`;
}

/**
 * A chip's identity in two lines, for hover: which pinout and how sure, with the pins that agree and those that speak against it; then
 * the pins still open and what to look at next. Empty where there is nothing to tell.
 */
export function identityLines(identity: PartIdentity): string[] {
  const first = identity.candidates[0];
  if (!first) return [];
  const tie = tieText(identity);
  const against = first.contradict.length > 0 ? `, pins ${pinList(first.contradict)} against it` : '';
  const next = identity.next[0];
  const none = identity.none > first.probability ? `None of these: ${percent(identity.none)}. ` : '';
  return [
    `${none}${named(first)}: ${percent(first.probability)}. Pins ${pinList(first.agree)} agree${against}.${tie ? ` ${tie}` : ''}`,
    `Open: ${pinList(first.open)}.${next ? ` Next: ${next.why} (${bits(next.gain)})` : ''}`,
  ];
}

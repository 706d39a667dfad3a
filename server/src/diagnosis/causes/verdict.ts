import type { Cause } from './types';

/** The leading group of causes: what nothing measured tells apart stands and falls together. */
export interface Verdict {
  /** Its causes, likeliest first, without those that hold less than a hundredth of it. */
  readonly members: readonly Cause[];
  /** Of the whole group. */
  readonly probability: number;
  /** Whether one cause stands for the group. */
  readonly alone: boolean;
  /** How many of its causes, likeliest first, hold nearly all of it. */
  readonly few: number;
}

/** Share of a group that stands for all of it, and what is left out of a list. Common practice, no source. */
const nearlyAll = 0.95;
const trifle = 0.01;

/** The leading group of a diagnosis' causes; undefined where there are none. */
export function verdictOf(causes: readonly Cause[]): Verdict | undefined {
  const lead = causes[0];
  if (!lead) return undefined;
  const group = causes.filter((cause) => cause.group === lead.group);
  const probability = group.reduce((sum, cause) => sum + cause.probability, 0);
  const members = group.filter((cause) => cause.probability >= trifle * probability);
  let held = 0;
  let few = 0;
  while (few < group.length && held < nearlyAll * probability) held += group[few++]!.probability;
  return { members, probability, alone: few === 1, few };
}

/** A probability as it is told: never as certainty. */
export const likely = (share: number): string =>
  share > 0.995 ? 'more than 99 %' : share < 0.01 ? 'less than 1 %' : `${Math.round(share * 100)} %`;

/** Causes told by name, at most; the rest is counted. */
const mostNamed = 3;

/** What the board has, in one or two sentences: one cause where it stands for its group, else those that nothing tells apart. */
export function headline({ members, probability, alone, few }: Verdict): string {
  const lead = members[0]!;
  const share = upper(likely(alone ? lead.probability : probability));
  if (lead.cause === 'as-designed')
    return `${upper(likely(probability))} likely nothing${lead.leaves.length > 0 ? ' else' : ''} is wrong that these measurements could show: ${clause(lead.words)}.`;
  if (alone) return `${share} likely: ${lead.words}`;
  const named = members.slice(0, Math.min(Math.max(few, 2), mostNamed));
  const rest = members.length - named.length;
  const list = named.map((cause) => `${among(cause)} (${likely(cause.probability)})`).join('; or ');
  const more = rest > 1 ? `; or one of ${rest} less likely` : rest === 1 ? '; or another less likely' : '';
  return `${share} likely one of these, and nothing measured tells them apart: ${list}${more}.`;
}

/** A cause among others: where nothing is wrong, what speaks against that must have been read wrongly. */
const among = ({ cause, words, leaves }: Cause): string =>
  cause === 'as-designed' && leaves.length > 0
    ? `nothing is wrong on the board, and what ${leaves.slice(0, mostNamed).join(', ')} shows was taken wrongly`
    : clause(words);

const upper = (text: string): string => text[0]!.toUpperCase() + text.slice(1);

/** A sentence within another: its full stop goes, and its capital where it is no name. */
const clause = (sentence: string): string => {
  const bare = sentence.replace(/\.$/, '');
  return /^[A-Z]([a-z]| [a-z])/.test(bare) ? bare[0]!.toLowerCase() + bare.slice(1) : bare;
};

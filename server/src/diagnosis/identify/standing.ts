import type { Join } from '../../board/copper';
import type { Pinout } from '../../board/pinout';
import type { Weighed } from './identify';
import { candidate } from './identify';
import { fittingMarking } from './marking';
import type { Numbering } from './numbering';
import { type Hypothesis, perPinout, posterior } from './posterior';

/** From here on a claim about a chip's identity is made: common practice, no source. */
export const sure = 0.9;

/** How the pinout a board states stands against everything else its part may be. */
export interface Standing {
  readonly own: Pinout;
  /** Of the stated pinout, in whatever way its pins were counted. */
  readonly probability: number;
  /** Its pins as marked. */
  readonly asMarked: Hypothesis;
  /** Written pins whose copper or readings speak against it as marked. */
  readonly contradict: readonly string[];
  /** The marking on the part fits none of its patterns. */
  readonly mismarked: boolean;
  /**
   * It fits, counted another way. `probability`: that the pins were counted so, whichever pinout it is; `certain`: it is known which
   * pin each is; `also`: other pinouts that fit counted so.
   */
  readonly turned:
    | {
        readonly numbering: Numbering;
        readonly probability: number;
        readonly best: Hypothesis;
        readonly certain: boolean;
        readonly also: readonly Pinout[];
      }
    | undefined;
  /** Another one fits, by copper and not by its marking alone. */
  readonly other: { readonly best: Hypothesis; readonly probability: number } | undefined;
}

/** How much better copper must fit another pinout than the stated one, as a likelihood ratio: common practice, no source. */
const copperSpeaks = Math.log(3);

/** From here on another pinout that fits is named: common practice, no source. */
const leastTold = 0.05;

const sameCount = (a: Hypothesis, b: Hypothesis): boolean =>
  a.counting === b.counting ||
  (a.counting.sheet.length === b.counting.sheet.length &&
    a.counting.sheet.every((to, from) => to === b.counting.sheet[from]));

/** Undefined where the board states no pinout for the part, or writes its pins inline. */
export function standing({ part, seen, found }: Weighed): Standing | undefined {
  const own = part.pinout;
  const asMarked = found.hypotheses.find((one) => one.pinout === own && one.counting.numbering === 'as-marked');
  const best = found.hypotheses[0];
  if (!own || own.inline || !asMarked || !best) return undefined;
  const shares = perPinout(found);
  const bestOwn = found.hypotheses.find((one) => one.pinout === own)!;
  const numbering = bestOwn.counting.numbering;
  // Siblings that nothing seen tells apart are turned alike: how pins were counted may be sure where the data sheet is not.
  const alike = found.hypotheses.filter((one) => one.counting.numbering === numbering);
  const sum = (some: readonly Hypothesis[]) => some.reduce((total, one) => total + one.probability, 0);
  const [rival, rivalShare] = [...shares].reduce((most, one) => (one[1] > most[1] ? one : most));
  const bestRival = found.hypotheses.find((one) => one.pinout === rival)!;
  return {
    own,
    probability: shares.get(own)!,
    asMarked,
    contradict: candidate(asMarked, seen).contradict,
    mismarked:
      part.marking !== undefined &&
      part.marking.trim() !== '' &&
      own.markings.length > 0 &&
      fittingMarking(own, part.marking) === undefined,
    turned:
      numbering !== 'as-marked' && rival === own && sum(alike) >= sure
        ? {
            numbering,
            probability: sum(alike),
            best: bestOwn,
            certain: sum(alike.filter((one) => sameCount(one, bestOwn))) >= sure,
            also: [...shares].flatMap(([pinout, share]) => (pinout !== own && share >= leastTold ? [pinout] : [])),
          }
        : undefined,
    other:
      rival !== own && rivalShare >= sure && bestRival.evidence - bestOwn.evidence >= copperSpeaks
        ? { best: bestRival, probability: rivalShare }
        : undefined,
  };
}

/**
 * The joins a claim about the part rests on: those of the pins named; of these the assumed ones only if the claim would not stand
 * without what is assumed.
 */
export function joinsBehind(weighed: Weighed, pins: readonly string[], stands: (without: Weighed) => boolean): Join[] {
  const joins = weighed.seen.filter((one) => pins.includes(one.pin)).flatMap((one) => one.copper?.joins ?? []);
  const firm = joins.filter((join) => join.evidence !== 'assumed');
  if (firm.length === joins.length) return joins;
  const seen = weighed.seen.filter((one) => one.copper?.evidence !== 'assumed');
  return stands({ ...weighed, seen, found: posterior({ ...weighed.subject, seen }, weighed.offers) }) ? firm : joins;
}

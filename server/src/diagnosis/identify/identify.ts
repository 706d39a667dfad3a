import type { Board } from '../../board/board';
import type { Part } from '../../board/part';
import { type Pinout, pinsOfStyle } from '../../board/pinout';
import type { RecordingFigures } from '../../signal/figures';
import { type NextPin, nextPins } from './next-pin';
import type { Numbering } from './numbering';
import { observe } from './observe';
import { pinTypes } from './pin-type';
import {
  type Hypothesis,
  type Offered,
  type Posterior,
  perPinout,
  posterior,
  type Subject,
  sheetPin,
  tied,
  typeAt,
} from './posterior';
import type { PinSeen } from './seen';
import { verdictOf } from './verdict';
import { priors } from './weights';

/** One pinout in one way of counting its pins, held against the copper. Pins are as written on the board. */
export interface Candidate {
  readonly pinout: string;
  readonly numbering: Numbering;
  /** Written pin → data-sheet pin. */
  readonly map: Readonly<Record<string, string>>;
  readonly probability: number;
  readonly agree: readonly string[];
  readonly contradict: readonly string[];
  /** Not seen, or what was seen says too little. */
  readonly open: readonly string[];
}

export interface PartIdentity {
  readonly part: string;
  /** Most probable first. */
  readonly candidates: readonly Candidate[];
  readonly next: readonly NextPin[];
  /** How probable it is that the chip is none of those offered. */
  readonly none: number;
  /** The candidates that nothing seen tells from the first, itself among them; empty where it stands alone. */
  readonly ties: readonly Pick<Candidate, 'pinout' | 'numbering'>[];
  /** The pinout the board states: how probable in whatever way it was counted. Null where it states none. */
  readonly stated: { readonly pinout: string; readonly probability: number } | null;
  /** How many of its pins the bench has seen anything of. */
  readonly seen: number;
}

export interface IdentifyResult {
  readonly parts: readonly PartIdentity[];
}

export interface IdentifyOptions {
  /** Only this part. */
  readonly part?: string;
  /** Pinouts it may be; those in the board's reach where left out. */
  readonly pinouts?: readonly Pinout[];
  /** Measured recordings, by capture name: sound found on a pin. */
  readonly figures?: ReadonlyMap<string, RecordingFigures>;
}

/** A part weighed, before it is told: what checks and hover work on. */
export interface Weighed {
  readonly part: Part;
  readonly seen: readonly PinSeen[];
  readonly subject: Subject;
  readonly offers: readonly Offered[];
  readonly found: Posterior;
}

const chips = new Set<Part['kind']>(['chip', 'regulator', 'op-amp', undefined]);
/** Fewer shares of a candidate are not told, unless the board names it. */
const leastTold = 1e-3;
const mostTold = 60;

/**
 * Which data sheet each chip is, and which way round its pins were counted.
 * @returns one entry a part that has pinouts to choose from; fields beyond the contract's are additions
 */
export function identify(board: Board, options: IdentifyOptions = {}): IdentifyResult {
  return { parts: weighParts(board, options).map(tell) };
}

/** Every part that has pinouts to choose from, weighed. */
export function weighParts(board: Board, options: IdentifyOptions = {}): Weighed[] {
  const copper = board.at();
  const pinouts = options.pinouts ?? [...board.pinouts.values()];
  return [...copper.parts.values()].flatMap((part): Weighed[] => {
    if (options.part !== undefined && part.designator !== options.part) return [];
    if (!part.fitted || (!chips.has(part.kind) && part.candidates.length === 0)) return [];
    const offers = offered(part, pinouts);
    if (offers.length === 0) return [];
    const seen = observe(board, part, options.figures);
    // A chip nobody has looked at, and of which nothing is said, is no question.
    if (options.part === undefined && seen.length === 0 && !part.pinoutName && part.candidates.length === 0) return [];
    const pins = pinsOfStyle(part.packageStyle);
    const subject = { seen, marking: part.marking, packageStyle: part.packageStyle, pins };
    return [{ part, seen, subject, offers, found: posterior(subject, offers) }];
  });
}

/**
 * The pinouts a part may be. Those it lists are all there are, with the one it states; else every one in reach whose package can have
 * the pins written. A part that brings its own pins is asked about only if it lists candidates too.
 */
function offered(part: Part, pinouts: readonly Pinout[]): Offered[] {
  const own = part.pinout && !part.pinout.inline ? part.pinout : undefined;
  const listed = part.candidates.flatMap((candidate) => candidate.pinout ?? []);
  if (part.pinout?.inline && listed.length === 0) return [];
  const pool = new Set<Pinout>([...(own ? [own] : []), ...listed]);
  if (listed.length === 0) {
    const count = own?.pinCount ?? pinsOfStyle(part.packageStyle);
    for (const pinout of pinouts) {
      // Another number of pins is another package: it can be told by counting.
      const fits = count === undefined || pinout.pinCount === undefined || pinout.pinCount === count;
      if (fits && !pinout.inline && pinout.pins.size > 0) pool.add(pinout);
    }
  }
  return [...pool].map((pinout) => ({ pinout, weight: pinout === own ? priors.stated : 1 }));
}

/** What was worked out of a part, as it is told. */
export function tell({ part, seen, found }: Weighed): PartIdentity {
  const named = new Set([part.pinout, ...part.candidates.map((candidate) => candidate.pinout)]);
  const told = found.hypotheses
    .filter(
      (one, at) =>
        at === 0 || one.probability >= leastTold || (named.has(one.pinout) && one.counting.numbering === 'as-marked'),
    )
    .slice(0, mostTold);
  const ties = tied(found);
  const own = part.pinout && !part.pinout.inline ? part.pinout : undefined;
  return {
    part: part.designator,
    candidates: told.map((hypothesis) => candidate(hypothesis, seen)),
    next: nextPins(found, seen),
    none: found.none,
    ties:
      ties.length > 1
        ? ties.map(({ pinout, counting }) => ({ pinout: pinout.name, numbering: counting.numbering }))
        : [],
    stated: own ? { pinout: own.name, probability: perPinout(found).get(own) ?? 0 } : null,
    seen: seen.length,
  };
}

/** A hypothesis pin by pin. */
export function candidate(hypothesis: Hypothesis, seen: readonly PinSeen[]): Candidate {
  const { pinout, counting, countings, probability } = hypothesis;
  const types = pinTypes(pinout);
  const map: Record<string, string> = {};
  const lists = { agree: [] as string[], contradict: [] as string[], open: [] as string[] };
  const byPin = new Map(seen.map((pin) => [pin.pin, pin]));
  const pins = new Set([...countings.keys, ...(pinout.pins.has('EP') ? ['EP'] : []), ...byPin.keys()]);
  for (const pin of pins) {
    const sheet = sheetPin(countings, counting, pin);
    const has = sheet !== undefined && (sheet !== 'EP' || pinout.pins.has('EP'));
    if (has) map[pin] = sheet;
    lists[verdictOf(byPin.get(pin), typeAt(types, has ? sheet : undefined))].push(pin);
  }
  return { pinout: pinout.name, numbering: counting.numbering, map, probability, ...lists };
}

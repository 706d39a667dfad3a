import type { Pinout } from '../../board/pinout';
import { type Background, backgroundOf } from './background';
import { evidence } from './likelihood';
import { markingEvidence } from './marking';
import { type Counting, type Countings, countingsOf } from './numbering';
import { type PinType, pinTypes, unknownType } from './pin-type';
import type { PinSeen } from './seen';
import { cares, noSuchPin, priors, trust } from './table';

/** What is to be identified: plain data, from a board or generated. */
export interface Subject {
  readonly seen: readonly PinSeen[];
  readonly marking?: string | undefined;
  readonly packageStyle?: string | undefined;
  /** How many pins the part is said to have. */
  readonly pins?: number | undefined;
}

/** A pinout it might be; `weight` is how likely against the others before anything is seen. */
export interface Offered {
  readonly pinout: Pinout;
  readonly weight: number;
}

/** One pinout counted one way. */
export interface Hypothesis {
  readonly pinout: Pinout;
  readonly counting: Counting;
  readonly countings: Countings;
  readonly probability: number;
  /** The logarithm of how much copper and readings speak for it against "none of these". */
  readonly evidence: number;
  /** The same of the marking. */
  readonly marking: number;
}

export interface Posterior {
  /** Most probable first; equal ones in the order offered. Together with `none` they sum to 1. */
  readonly hypotheses: readonly Hypothesis[];
  readonly none: number;
}

/** The data-sheet pin a written pin is under a way of counting; undefined where the package has none there. */
export function sheetPin(countings: Countings, counting: Counting, written: string): string | undefined {
  if (written === 'EP') return 'EP';
  const from = countings.index.get(written);
  const to = from === undefined ? -1 : counting.sheet[from]!;
  return to < 0 ? undefined : countings.keys[to];
}

/** The type of a data-sheet pin; unknown where the package has the pin and the pinout leaves it out, undefined without the pin. */
export const typeAt = (types: ReadonlyMap<string, PinType>, pin: string | undefined): PinType | undefined =>
  pin === undefined ? undefined : (types.get(pin) ?? (pin === 'EP' ? undefined : unknownType));

const levels = cares.length;
const noPin = Math.log(noSuchPin);

/** Evidence of every pin seen for every type and every degree of care, each worked out once: rows of numbers, types by index. */
class Weighed {
  readonly rows: Float64Array[];
  private readonly index = new Map<string, number>();
  private readonly types: PinType[] = [];

  constructor(
    private readonly seen: readonly PinSeen[],
    private readonly background: Background,
  ) {
    this.rows = seen.map(() => new Float64Array(64 * levels).fill(Number.NaN));
  }

  /** The index of a type. */
  of(type: PinType): number {
    let at = this.index.get(type.key);
    if (at === undefined) {
      at = this.types.push(type) - 1;
      this.index.set(type.key, at);
    }
    return at;
  }

  /** The evidence of one pin seen for one type, from here on at `type * levels` of its row. */
  fill(pin: number, type: number): void {
    let row = this.rows[pin]!;
    if (row.length < (type + 1) * levels) {
      const longer = new Float64Array(2 * (type + 1) * levels).fill(Number.NaN);
      longer.set(row);
      row = longer;
      this.rows[pin] = row;
    }
    cares.forEach(({ factor }, level) => {
      row[type * levels + level] = evidence(this.seen[pin]!, this.types[type]!, this.background, factor);
    });
  }
}

/** The logarithm of the weighted mean over degrees of care of what each level's evidence comes to. */
function overCares(sums: Float64Array): number {
  let top = Number.NEGATIVE_INFINITY;
  for (let level = 0; level < levels; level++) top = Math.max(top, sums[level]!);
  let total = 0;
  for (let level = 0; level < levels; level++) total += cares[level]!.weight * Math.exp(sums[level]! - top);
  return top + Math.log(total);
}

/**
 * How probable each pinout is in each way its pins may have been counted, and that it is none of them: Bayes' rule over independent
 * pins, in logarithms. Every likelihood is a ratio to "any pin of any chip", so that "none of these" stands at 0. Linear in
 * offers × ways × pins seen.
 */
export function posterior(subject: Subject, offers: readonly Offered[]): Posterior {
  const { seen } = subject;
  const weighed = new Weighed(seen, backgroundOf(offers.map((offer) => offer.pinout)));
  const total = offers.reduce((sum, offer) => sum + offer.weight, 0);
  const flat: (Omit<Hypothesis, 'probability'> & { readonly score: number })[] = [];
  const sums = new Float64Array(levels);
  const turning = new Int32Array(seen.length);
  const from = new Int32Array(seen.length);
  for (const offer of offers) {
    const { pinout, weight } = offer;
    const types = pinTypes(pinout);
    const countings = countingsOf(pinout, subject.packageStyle, subject.pins);
    const sheetTypes = Int32Array.from(countings.keys, (key) => weighed.of(types.get(key) ?? unknownType));
    const pad = types.get('EP');
    const otherPackage =
      subject.pins !== undefined && pinout.pinCount !== undefined && pinout.pinCount !== subject.pins;
    const marking = markingEvidence(pinout, subject.marking);
    const prior =
      Math.log(((1 - priors.none) * weight) / total) + marking + (otherPackage ? Math.log(priors.otherPackage) : 0);
    // Pins the package lacks weigh the same in every way of counting; the pad never turns.
    let turns = 0;
    let missing = 0;
    let padSeen = -1;
    for (let at = 0; at < seen.length; at++) {
      const written = countings.index.get(seen[at]!.pin);
      if (written !== undefined) {
        turning[turns] = at;
        from[turns++] = written;
      } else if (pad && seen[at]!.pin === 'EP') padSeen = at;
      else missing++;
    }
    const add = (pin: number, type: number) => {
      let row = weighed.rows[pin]!;
      const at = type * levels;
      if (row[at] === undefined || Number.isNaN(row[at])) {
        weighed.fill(pin, type);
        row = weighed.rows[pin]!;
      }
      for (let level = 0; level < levels; level++) sums[level]! += row[at + level]!;
    };
    for (const counting of countings.ways) {
      sums.fill(missing * noPin);
      if (pad && padSeen >= 0) add(padSeen, weighed.of(pad));
      for (let k = 0; k < turns; k++) {
        const to = counting.sheet[from[k]!]!;
        if (to >= 0) add(turning[k]!, sheetTypes[to]!);
        else for (let level = 0; level < levels; level++) sums[level]! += noPin;
      }
      const log = overCares(sums);
      flat.push({
        pinout,
        counting,
        countings,
        evidence: log,
        marking,
        score: prior + Math.log(counting.prior) + trust * log,
      });
    }
  }
  const none = Math.log(priors.none);
  const top = flat.reduce((most, item) => Math.max(most, item.score), none);
  const sum = flat.reduce((all, item) => all + Math.exp(item.score - top), Math.exp(none - top));
  const probability = (score: number) => bounded(Math.exp(score - top) / sum);
  const hypotheses = flat.map(({ score, ...rest }): Hypothesis => ({ ...rest, probability: probability(score) }));
  // Array.prototype.sort is stable: equal ones keep the order in which they were offered and counted.
  hypotheses.sort((a, b) => b.probability - a.probability);
  return { hypotheses, none: probability(none) };
}

/** No 0 and no 1: the model itself may be wrong. */
const bounded = (probability: number): number => Math.min(1 - 1e-9, Math.max(1e-12, probability));

/**
 * The hypotheses for which everything seen, the marking too, speaks as much as for the first: more than one is a tie that nothing
 * seen can break, whatever was likelier before.
 */
export function tied({ hypotheses }: Posterior): readonly Hypothesis[] {
  const said = (one: Hypothesis) => one.evidence + one.marking;
  const first = hypotheses[0];
  return first ? hypotheses.filter((one) => Math.abs(said(one) - said(first)) <= 1e-9) : [];
}

/** How probable each pinout is, however it was counted. */
export function perPinout(found: Posterior): ReadonlyMap<Pinout, number> {
  const sums = new Map<Pinout, number>();
  for (const { pinout, probability } of found.hypotheses) sums.set(pinout, (sums.get(pinout) ?? 0) + probability);
  return sums;
}

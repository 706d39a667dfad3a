import type { Pinout } from '../../board/pinout';
import { type Background, backgroundOf } from './background';
import { evidences } from './likelihood';
import { markingEvidence } from './marking';
import { type Counting, type Countings, countingsOf } from './numbering';
import { pairs } from './pairs';
import { type PinType, typeList, unknownType } from './pin-type';
import type { PinSeen } from './seen';
import { cares, noSuchPin, priors, trust } from './weights';

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

const factors = cares.map(({ factor }) => factor);
const levels = cares.length;
const noPin = Math.log(noSuchPin);

/** Types met, numbered, and how many pins have each. */
class Numbered {
  readonly list: PinType[] = [];
  readonly counts: number[] = [];
  private readonly numbers = new Map<PinType, number>();

  of(type: PinType): number {
    let at = this.numbers.get(type);
    if (at === undefined) {
      at = this.list.push(type) - 1;
      this.counts.push(0);
      this.numbers.set(type, at);
    }
    return at;
  }
}

/** The logarithm of the weighted mean over degrees of care of what each level's evidence comes to. */
function overCares(sums: Float64Array): number {
  let top = Number.NEGATIVE_INFINITY;
  for (let level = 0; level < levels; level++) if (sums[level]! > top) top = sums[level]!;
  let total = 0;
  for (let level = 0; level < levels; level++) total += cares[level]!.weight * Math.exp(sums[level]! - top);
  return top + Math.log(total);
}

/** A pinout as it is weighed: the numbers of its types in the order of its countings' keys, and of its pad. */
interface Sheet {
  readonly offer: Offered;
  readonly countings: Countings;
  readonly types: Int32Array;
  readonly pad: number;
}

function sheetsOf(subject: Subject, offers: readonly Offered[], numbered: Numbered): Sheet[] {
  const unknown = numbered.of(unknownType);
  return offers.map((offer) => {
    const { pinout } = offer;
    const countings = countingsOf(pinout, subject.packageStyle, subject.pins);
    const numbers = new Int32Array(countings.keys.length).fill(unknown);
    const types = typeList(pinout);
    let pad = -1;
    let next = 0;
    for (const key of pinout.pins.keys()) {
      const number = numbered.of(types[next++]!);
      numbered.counts[number]!++;
      const at = countings.index.get(key);
      if (at !== undefined) numbers[at] = number;
      else if (key === 'EP') pad = number;
    }
    return { offer, countings, types: numbers, pad };
  });
}

/** Evidence of every pin seen for every type at every degree of care, each worked out once: pins by types by degrees. */
function evidenceTable(seen: readonly PinSeen[], types: readonly PinType[], background: Background): Float64Array {
  const table = new Float64Array(seen.length * types.length * levels);
  let at = 0;
  for (const pin of seen)
    for (const type of types) for (const value of evidences(pin, type, background, factors)) table[at++] = value;
  return table;
}

/** What copper and readings say of a sheet in each way of counting it. */
function weigh(
  { countings, types, pad }: Sheet,
  seen: readonly PinSeen[],
  table: Float64Array,
  typeCount: number,
): Float64Array {
  // Pins the package lacks weigh the same in every way of counting; the pad never turns.
  const rowAt = new Int32Array(seen.length);
  const from = new Int32Array(seen.length);
  const fixed = new Float64Array(levels);
  let turns = 0;
  for (let pin = 0; pin < seen.length; pin++) {
    const written = countings.index.get(seen[pin]!.pin);
    const row = pin * typeCount * levels;
    if (written !== undefined) {
      rowAt[turns] = row;
      from[turns++] = written;
    } else
      for (let level = 0; level < levels; level++)
        fixed[level]! += pad >= 0 && seen[pin]!.pin === 'EP' ? table[row + pad * levels + level]! : noPin;
  }
  const sums = new Float64Array(levels);
  const found = new Float64Array(countings.ways.length);
  for (let way = 0; way < found.length; way++) {
    const { sheet } = countings.ways[way]!;
    sums.set(fixed);
    for (let k = 0; k < turns; k++) {
      const to = sheet[from[k]!]!;
      const at = to < 0 ? -1 : rowAt[k]! + types[to]! * levels;
      for (let level = 0; level < levels; level++) sums[level]! += at < 0 ? noPin : table[at + level]!;
    }
    found[way] = overCares(sums);
  }
  return found;
}

/**
 * How probable each pinout is in each way its pins may have been counted, and that it is none of them: Bayes' rule over independent
 * pins, in logarithms. Every likelihood is a ratio to "any pin of any chip", so that "none of these" stands at 0, but for pairs that
 * lie beside each other on any chip. Linear in offers × ways × pins seen.
 */
export function posterior(subject: Subject, offers: readonly Offered[]): Posterior {
  const { seen } = subject;
  const numbered = new Numbered();
  const sheets = sheetsOf(subject, offers, numbered);
  const background = backgroundOf(numbered.list, numbered.counts);
  const table = evidenceTable(seen, numbered.list, background);
  const total = offers.reduce((sum, offer) => sum + offer.weight, 0);
  const count = sheets.reduce((sum, { countings }) => sum + countings.ways.length, 0);
  const owner = new Int32Array(count);
  const first = new Int32Array(sheets.length);
  const said = new Float64Array(count);
  const scores = new Float64Array(count);
  const markings = sheets.map(({ offer }) => markingEvidence(offer.pinout, subject.marking));
  let next = 0;
  sheets.forEach((sheet, index) => {
    const { pinCount } = sheet.offer.pinout;
    const otherPackage = subject.pins !== undefined && pinCount !== undefined && pinCount !== subject.pins;
    const before =
      Math.log(((1 - priors.none) * sheet.offer.weight) / total) +
      markings[index]! +
      (otherPackage ? Math.log(priors.otherPackage) : 0);
    first[index] = next;
    weigh(sheet, seen, table, numbered.list.length).forEach((evidence, way) => {
      owner[next] = index;
      said[next] = evidence;
      scores[next++] = before + Math.log(sheet.countings.ways[way]!.prior) + trust * evidence;
    });
  });
  const none = Math.log(priors.none) + trust * pairs(seen, background);
  const top = scores.reduce((most, score) => Math.max(most, score), none);
  const sum = scores.reduce((all, score) => all + Math.exp(score - top), Math.exp(none - top));
  const probability = (score: number) => bounded(Math.exp(score - top) / sum);
  // Equal ones keep the order in which they were offered and counted.
  const order = Int32Array.from(scores.keys()).sort((a, b) => scores[b]! - scores[a]! || a - b);
  const hypotheses = Array.from(order, (at): Hypothesis => {
    const { offer, countings } = sheets[owner[at]!]!;
    return {
      pinout: offer.pinout,
      counting: countings.ways[at - first[owner[at]!]!]!,
      countings,
      probability: probability(scores[at]!),
      evidence: said[at]!,
      marking: markings[owner[at]!]!,
    };
  });
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

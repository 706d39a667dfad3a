import type { Evidence } from '../../quantity/figure';
import { type Background, usual } from './background';
import type { PinType } from './pin-type';
import { type CopperKind, type CopperSeen, copperKinds, type PinSeen, type Side } from './seen';
import {
  anySide,
  audioTable,
  clockBin,
  clockTable,
  copperTable,
  dcBetween,
  dcBin,
  dcTable,
  type Row,
  railOf,
  sideTable,
  supplyRows,
} from './table';
import { mostWrong, noSuchPin, stated, unfinished, wrongness } from './weights';

const column = new Map(copperKinds.map((kind, index) => [kind, index]));
const columnOf = (kind: CopperKind): number => column.get(kind)!;
/** Whether the contact reached may carry a side. */
const sided = (kind: CopperKind): boolean =>
  kind === 'audio-straight' || kind === 'audio-coupled' || kind === 'audio-divided' || kind === 'audio-in';
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
/** The mean over the roles a pin may have; 1 where they are unknown. */
const ratioOf = (type: PinType, of: (row: Row) => number): number =>
  type.rows.length === 0 ? 1 : mean(type.rows.map(of));

/** How a voltage sits with what the data sheet states of the pin, against a data sheet that states nothing. */
function asStated(volts: number, row: Row, type: PinType): number {
  const supply = supplyRows.has(row);
  if (supply && type.volts) {
    const { min, max } = type.volts;
    // A nominal is held to ±5 %, a range to 2 % beyond its ends; a meter and a loaded rail are good for no less than 50 mV.
    const slack = Math.max(0.05, (min === max ? 0.05 : 0.02) * Math.max(Math.abs(min), Math.abs(max)));
    const [low, high] = [min - slack, max + slack];
    return volts < low || volts > high ? stated.volts.broken : dcBetween(row, low, high) ** -stated.volts.trust;
  }
  if (!supply && type.bias !== undefined)
    return Math.abs(volts - type.bias) <= Math.max(0.15, 0.1 * Math.abs(type.bias))
      ? stated.bias.kept
      : stated.bias.broken;
  return 1;
}

/** The row a pin counts as where it was seen: VSS and its like are supplies on a negative supply and grounds on a ground. */
function effectiveRow(row: Row, type: PinType, { kind, volts }: CopperSeen): Row {
  if (!type.below) return row;
  if (kind === 'ground') return 'ground';
  const negative = volts === undefined ? type.below === 'not-positive' : volts < 0;
  return kind === 'supply' && negative ? 'supply' : row;
}

/** P(the kind of copper | role) against the background: what the role alone says, how it is known left aside. */
export const kindRatio = (seen: CopperSeen, type: PinType, background: Background = usual): number =>
  ratioOf(
    type,
    (row) => copperTable[effectiveRow(row, type, seen)][columnOf(seen.kind)]! / background.copper[columnOf(seen.kind)]!,
  );

/** The same with the side of the contact and the volts of the supply. */
const copperRatio = (seen: CopperSeen, type: PinType, background: Background): number =>
  ratioOf(type, (row) => {
    const as = effectiveRow(row, type, seen);
    const ratio = copperTable[as][columnOf(seen.kind)]! / background.copper[columnOf(seen.kind)]!;
    if (sided(seen.kind) && seen.side && type.channel)
      return (ratio * sideTable[type.channel][seen.side]) / anySide[seen.side];
    if (seen.kind !== 'supply' || seen.volts === undefined) return ratio;
    const bin = dcBin(seen.volts);
    const carries = (dcTable[railOf(as)][bin]! / background.rails[bin]!) * asStated(seen.volts, as, type);
    return ratio * carries ** (1 / (seen.sharedBy ?? 1));
  });

/** How often what copper shows is usually wrong, by how it is known. */
export const wrongOf = ({ evidence, unfinished: begun }: CopperSeen): number =>
  begun ? Math.max(unfinished, wrongness[evidence]) : wrongness[evidence];

/** Every observation of a pin as a ratio to the background, with how often one known that way is wrong. */
function ratios(seen: PinSeen, type: PinType, background: Background): [ratio: number, wrong: number][] {
  const found: [number, number][] = [];
  const wrong = (known: { readonly evidence: Evidence }): number => wrongness[known.evidence];
  const { copper, dc, clock, audio } = seen;
  if (copper) found.push([copperRatio(copper, type, background), wrongOf(copper)]);
  else
    for (const [known, kind] of [
      [seen.notGround, 'ground'],
      [seen.notSupply, 'supply'],
    ] as const) {
      if (!known) continue;
      const any = 1 - background.copper[columnOf(kind)]!;
      found.push([ratioOf(type, (row) => (1 - copperTable[row][columnOf(kind)]!) / any), wrong(known)]);
    }
  // Copper that is at ground or on a supply already says what the meter reads there: one observation, not two.
  if (dc && copper?.kind !== 'ground' && copper?.kind !== 'supply') {
    const bin = dcBin(dc.volts);
    const ratio = (row: Row) => (dcTable[row][bin]! * asStated(dc.volts, row, type)) / background.dc[bin]!;
    found.push([ratioOf(type, ratio), wrong(dc)]);
  }
  if (clock) {
    const bin = clockBin(clock.hertz);
    const ratio = ratioOf(type, (row) => clockTable[row][bin]! / background.clock[bin]!);
    const off = type.frequency === undefined ? undefined : Math.abs(clock.hertz / type.frequency - 1);
    const kept = off === undefined ? 1 : off < 0.01 ? stated.frequency.kept : stated.frequency.broken;
    found.push([ratio * kept, wrong(clock)]);
  }
  if (audio) {
    const bin = audio.present ? 1 : 0;
    found.push([ratioOf(type, (row) => audioTable[row][bin]! / background.audio[bin]!), wrong(audio)]);
  }
  return found;
}

/**
 * How much everything seen of a pin speaks for its being of this type, against its being any pin of any chip: the logarithm of the
 * likelihood ratio; 0 is no evidence. Never infinite: whatever was seen may have been seen wrongly.
 * @param type undefined: the candidate's package has no such pin
 * @param cares how often this bench is wrong, as factors on what is usual
 * @returns one figure for each of `cares`
 */
export function evidences(
  seen: PinSeen,
  type: PinType | undefined,
  background: Background,
  cares: readonly number[],
): number[] {
  if (!type) return cares.map(() => Math.log(noSuchPin));
  const found = ratios(seen, type, background);
  return cares.map((care) =>
    found.reduce((sum, [ratio, usually]) => {
      const wrong = Math.min(mostWrong, usually * care);
      return sum + Math.log((1 - wrong) * ratio + wrong);
    }, 0),
  );
}

/** The same at one degree of care: what is usual where left out. */
export const evidence = (seen: PinSeen, type: PinType | undefined, background: Background = usual, care = 1): number =>
  evidences(seen, type, background, [care])[0]!;

/** What a probe of an unseen pin may find: the kinds of copper, those of audio by the side of the contact. */
export const outcomes: readonly { readonly kind: CopperKind; readonly side?: Side }[] = copperKinds.flatMap((kind) =>
  sided(kind) ? (['left', 'right', 'mono'] as const).map((side) => ({ kind, side })) : [{ kind }],
);

/** P(outcome | type) of a probe that buzzes the pin out; undefined is a pin of any chip. Sums to 1. */
export function predict(type: PinType | undefined, background: Background = usual): Float64Array {
  const wrong = wrongness.buzzed;
  return Float64Array.from(outcomes, ({ kind, side }) => {
    const at = columnOf(kind);
    const any = background.copper[at]! * (side ? anySide[side] : 1);
    if (!type || type.rows.length === 0) return any;
    const share = side ? (type.channel ? sideTable[type.channel] : anySide)[side] : 1;
    return (1 - wrong) * mean(type.rows.map((row) => copperTable[row][at]!)) * share + wrong * any;
  });
}

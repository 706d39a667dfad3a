import type { Pinout } from '../../board/pinout';
import { pinTypes } from './pin-type';
import { audioTable, clockTable, copperTable, dcTable, mix, type Row, rows } from './table';

/** What a pin of unknown role shows: the columns of each table, in the proportions of the rows. */
export interface Background {
  readonly copper: Float64Array;
  readonly dc: Float64Array;
  readonly clock: Float64Array;
  readonly audio: Float64Array;
}

function blend(table: Readonly<Record<Row, Float64Array>>, shares: Readonly<Record<Row, number>>): Float64Array {
  const total = rows.reduce((sum, row) => sum + shares[row], 0);
  return table.ground.map((_, column) =>
    rows.reduce((sum, row) => sum + (shares[row] / total) * table[row][column]!, 0),
  );
}

const from = (shares: Readonly<Record<Row, number>>): Background => ({
  copper: blend(copperTable, shares),
  dc: blend(dcTable, shares),
  clock: blend(clockTable, shares),
  audio: blend(audioTable, shares),
});

/** A pin of any chip. */
export const usual: Background = from(mix);

const counted = new WeakMap<Pinout, ReadonlyMap<Row, number>>();

function rowsOf(pinout: Pinout): ReadonlyMap<Row, number> {
  let counts = counted.get(pinout);
  if (!counts) {
    const made = new Map<Row, number>();
    for (const type of pinTypes(pinout).values())
      for (const row of type.rows) made.set(row, (made.get(row) ?? 0) + 1 / type.rows.length);
    counts = made;
    counted.set(pinout, counts);
  }
  return counts;
}

/** How many pins the usual proportions count for beside those of the pinouts offered. */
const usualPins = 200;

/** A pin of a chip of the kind that is offered: the usual proportions, moved towards those of the pinouts in reach. */
export function backgroundOf(pinouts: readonly Pinout[]): Background {
  const shares = Object.fromEntries(rows.map((row) => [row, (mix[row] / 100) * usualPins])) as Record<Row, number>;
  for (const pinout of pinouts) for (const [row, count] of rowsOf(pinout)) shares[row] += count;
  return from(shares);
}

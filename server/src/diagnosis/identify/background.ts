import type { PinType } from './pin-type';
import { copperKinds } from './seen';
import { audioTable, clockTable, copperTable, dcTable, mix, perRow, type Row, railOf, rows } from './table';

/** What a pin of unknown role shows: the columns of each table, in the proportions of the rows. */
export interface Background {
  readonly copper: Float64Array;
  readonly dc: Float64Array;
  /** DC of supplies that pins are joined to. */
  readonly rails: Float64Array;
  readonly clock: Float64Array;
  readonly audio: Float64Array;
}

function blend(table: Readonly<Record<Row, Float64Array>>, shares: Readonly<Record<Row, number>>): Float64Array {
  const total = rows.reduce((sum, row) => sum + shares[row], 0);
  return table.ground.map((_, column) =>
    rows.reduce((sum, row) => sum + (shares[row] / total) * table[row][column]!, 0),
  );
}

const railTable = perRow((row) => dcTable[railOf(row)]);
const onSupply = copperKinds.indexOf('supply');

const from = (shares: Readonly<Record<Row, number>>): Background => ({
  copper: blend(copperTable, shares),
  dc: blend(dcTable, shares),
  rails: blend(
    railTable,
    perRow((row) => shares[row] * copperTable[row][onSupply]!),
  ),
  clock: blend(clockTable, shares),
  audio: blend(audioTable, shares),
});

/** A pin of any chip. */
export const usual: Background = from(mix);

/** How many pins the usual proportions count for beside those of the pinouts offered. */
const usualPins = 100;

/**
 * A pin of a chip of the kind that is offered: the usual proportions, moved towards those of the pinouts in reach.
 * @param counts how many pins of theirs are of each type
 */
export function backgroundOf(types: readonly PinType[], counts: readonly number[]): Background {
  const shares = perRow((row) => (mix[row] / 100) * usualPins);
  types.forEach((type, at) => {
    for (const row of type.rows) shares[row] += counts[at]! / type.rows.length;
  });
  return from(shares);
}

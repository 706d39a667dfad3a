import type { Known } from '../../circuit/from-board/figures';
import type { PlaceFigure } from '../../circuit/from-board/place-figures';
import { formatFigure, formatQuantity } from '../../quantity/format';
import type { ChannelFigures } from '../../signal/figures';
import { code, prose } from '../markdown';

/** Figures in the few words a hover has room for. */

/** A resistance in Ω. */
export const ohms = (value: number): string => formatQuantity(value, 'resistance');
/** A voltage in V. */
export const volts = (value: number): string => formatQuantity(value, 'voltage');

/** "3 V to 3.6 V", or the nominal alone. */
export const voltRange = (range: { readonly min: number; readonly max: number }): string =>
  range.min === range.max ? volts(range.min) : `${volts(range.min)} to ${volts(range.max)}`;

/** A figure of the network, or what it would take; undefined where nothing can be said. */
export function knownText(known: Known): string | undefined {
  if ('figure' in known) return formatFigure(known.figure);
  return known.needs.length === 0 ? undefined : `needs ${known.needs.map(code).join(', ')}`;
}

/** A value of a channel in volts where scaled, else as a fraction of full scale. */
export const inUnit = (value: number, { unit }: ChannelFigures): string =>
  unit === 'FS' ? `${Number(value.toPrecision(3))} of full scale`.replace('-', '−') : formatQuantity(value, unit);

/** How loud a channel is, in the words its scale allows. */
export function levelText(channel: ChannelFigures): string {
  const { dbv, dbfs } = channel.level;
  if (dbv !== null) return `${inUnit(channel.rms, channel)} RMS (${formatQuantity(dbv, 'dBV')})`;
  if (dbfs !== null) return formatQuantity(dbfs, 'dBFS');
  return 'silent';
}

/** What the network says of a place, a line a figure; with the way where there are several. */
export const figureLines = (figures: readonly PlaceFigure[], several: boolean): string[] =>
  figures.map(({ text, over }) => `${prose(text)}${several && over !== '' ? ` (${prose(over)})` : ''}`);

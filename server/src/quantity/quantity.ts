import { type Dimension, dimensions, expected } from './dimension';
import { type Numeral, readNumeral, tidy } from './numeral';
import { type Amplitude, readPrefix, readUnit, type UnitReading } from './unit';

/** A number with what it measures. */
export interface Quantity {
  /** In the base unit (Ω, F, H, Hz, V, A, W, s), in % or ppm, or in the dB unit named by `unit`. */
  readonly value: number;
  readonly dimension: Dimension;
  /** The base unit; for a level the dB unit as written. */
  readonly unit: string;
  /** As written, without surrounding space. */
  readonly text: string;
  /** Where the writer said so: `ac` for RMS or AC, `dc` for DC. */
  readonly current?: 'ac' | 'dc';
}

/** Why a text is not a quantity of the kind wanted. `suggestion` is a text that probably was meant. */
export interface QuantityProblem {
  readonly check: 'bad-quantity' | 'wrong-unit';
  readonly message: string;
  readonly suggestion?: string;
}

/** Exactly one of the two is there. */
export interface QuantityResult {
  readonly quantity?: Quantity;
  readonly problem?: QuantityProblem;
}

export interface QuantityOptions {
  /** How volts and amperes are counted at this key; default RMS (or plain DC). "Vpp" is only right where peak to peak is. */
  readonly amplitude?: Amplitude;
  /** Whether a number without a unit will do; default yes, in the base unit of the first dimension wanted. */
  readonly bare?: boolean;
}

/** Units the trade meets, but no key of the dialect asks for: they are wrong units, not nonsense. */
const foreign =
  /^(?:dBm|dBr|dB ?\(?[AC]\)?|dB ?SPL|[mµukM]?VA|[mµu]?Ah|[mk]?Wh|°?C|°|deg|rpm|[mµu]?J|[mcµuk]?m|k?g|[mµu]?S|bits?|min|h)$/;

/**
 * Reads a quantity as the trade writes it: "4k7", "R47", "3V3", "4.7 kohm", "-10 dBV", "±5 %", "4,7 k". A bare number is in the
 * base unit of the first dimension wanted. Never throws; a likely slip ("10 MF", "10 mF", "12 mHz") is a problem, never a guess.
 */
export function parseQuantity(
  text: string,
  wanted: readonly Dimension[],
  options: QuantityOptions = {},
): QuantityResult {
  const written = tidy(text);
  const problem = (check: QuantityProblem['check'], message: string, suggestion?: string): QuantityResult => ({
    problem: { check, message: `"${clip(written)}" ${message}`, ...(suggestion === undefined ? {} : { suggestion }) },
  });

  const numeral = readNumeral(written);
  if (!numeral) return problem('bad-quantity', `is not a quantity; expected ${expected(wanted)}`);
  if (numeral.doubt)
    return problem('bad-quantity', `can be read two ways: write ${numeral.doubt.join(' or ')}`, numeral.doubt[0]);

  const readings = readingsOf(numeral, wanted);
  const fitting = readings.filter((reading) => wanted.includes(reading.dimension));
  const reading = wanted
    .map((dimension) => fitting.find((found) => found.dimension === dimension && found.exponent !== null))
    .find((found) => found !== undefined);
  if (!reading) return unfit(numeral, readings, fitting, wanted, problem);

  const { dimension, unit } = reading;
  const entry = dimensions[dimension];
  const value = numeral.scaled(reading.exponent!);
  const want = options.amplitude ?? 'rms';
  if (reading.amplitude && reading.amplitude !== want)
    return problem(
      'wrong-unit',
      `is ${said[reading.amplitude]}; expected ${said[want]}${asSine(value, reading.amplitude, want, unit)}`,
    );
  if (!Number.isFinite(value)) return problem('bad-quantity', `is too large; expected ${expected(wanted)}`);
  const bare = numeral.letters === '' && !numeral.point;
  if (bare && options.bare === false) return problem('bad-quantity', `has no unit; expected ${expected(wanted)}`);
  if (bare && entry.bareBelow !== undefined && value >= entry.bareBelow)
    return problem(
      'bad-quantity',
      `has no unit and would be ${written} ${unit}; if that is meant, write the unit`,
      `${written} µ${unit}`,
    );
  if (value < 0 && !entry.signed)
    return problem('bad-quantity', `is negative; ${entry.name} cannot be`, written.replace(/^- ?/, ''));
  if (numeral.plusMinus && !['percent', 'ppm', 'ratio-db'].includes(dimension))
    return problem('bad-quantity', 'names two values; give one', written.replace(/^(±|\+\/?-) ?/, ''));
  return {
    quantity: {
      value: value === 0 ? 0 : value,
      dimension,
      unit,
      text: text.trim(),
      ...(reading.current ? { current: reading.current } : {}),
    },
  };
}

const said: Record<Amplitude, string> = { rms: 'RMS', peak: 'peak', 'peak-to-peak': 'peak to peak' };
const overRms: Record<Amplitude, number> = { rms: 1, peak: Math.SQRT2, 'peak-to-peak': 2 * Math.SQRT2 };

/** The same sine counted the other way, for the message: it holds for a sine alone, so it is never put in as a fix. */
const asSine = (value: number, from: Amplitude, to: Amplitude, unit: string): string =>
  `; for a sine that is ${Number(((value * overRms[to]) / overRms[from]).toPrecision(3))} ${unit} ${said[to]}`;

function readingsOf(numeral: Numeral, wanted: readonly Dimension[]): UnitReading[] {
  if (numeral.point) {
    const unit = numeral.letters === '' ? [] : readUnit(numeral.letters);
    const asUnit = readUnit(numeral.point);
    if (asUnit.length > 0)
      return numeral.letters === '' || unit.some((found) => found.unit === asUnit[0]!.unit && found.exponent === 0)
        ? asUnit
        : [];
    // IEC 60062 has m for millifarads: with the letter as decimal point nobody means micro.
    if (numeral.letters === '')
      return readPrefix(numeral.point, wanted).map((found) =>
        numeral.point === 'm' && found.dimension === 'capacitance' ? { ...found, exponent: -3 } : found,
      );
    return unit.some((found) => found.exponent === 0) ? readUnit(numeral.point + numeral.letters) : [];
  }
  if (numeral.letters === '')
    return wanted.slice(0, 1).map((dimension) => ({
      dimension,
      unit: dimensions[dimension].base,
      exponent: 0,
      literal: 0,
    }));
  const asPrefix = readPrefix(numeral.letters, wanted);
  return asPrefix.length > 0 ? asPrefix : readUnit(numeral.letters);
}

type Problem = (check: QuantityProblem['check'], message: string, suggestion?: string) => QuantityResult;

/** What to say when no reading of the unit will do. */
function unfit(
  numeral: Numeral,
  readings: readonly UnitReading[],
  fitting: readonly UnitReading[],
  wanted: readonly Dimension[],
  problem: Problem,
): QuantityResult {
  const slip = fitting.find((reading) => reading.meant);
  if (slip) {
    const meant = `${numeral.digits} ${slip.meant}`;
    const literal = slip.literal === null ? '' : `; if not, write ${numeral.scaled(slip.literal)} ${slip.unit}`;
    return problem('bad-quantity', `is probably ${meant}${literal}`, meant);
  }
  if (fitting.length > 0) return problem('bad-quantity', `has a prefix not in use here; expected ${expected(wanted)}`);
  const other = readings[0];
  if (other?.dimension === 'ratio-db' && wanted.includes('level'))
    return problem('wrong-unit', 'is a ratio: dB alone names no level; expected dBV, dBu or dBFS');
  if (other) return problem('wrong-unit', `gives ${dimensions[other.dimension].name}; expected ${expected(wanted)}`);
  if (foreign.test(numeral.letters))
    return problem('wrong-unit', `is in a unit that does not fit; expected ${expected(wanted)}`);
  return problem('bad-quantity', `is not a quantity; expected ${expected(wanted)}`);
}

const clip = (text: string): string => (text.length > 40 ? `${text.slice(0, 39)}…` : text);

import { allDimensions, type Dimension, dimensions, prefixes } from './dimension';

/** How the size of an alternating quantity is counted. */
export type Amplitude = 'rms' | 'peak' | 'peak-to-peak';

/** What letters behind a number can mean. `exponent` is null where the prefix is not in use with the unit; `meant` says what probably is. */
export interface UnitReading {
  readonly dimension: Dimension;
  readonly unit: string;
  readonly exponent: number | null;
  /** Exponent by the SI alone, so that a message can say what was literally written; null where the letters are no prefix. */
  readonly literal: number | null;
  /** The unit that was probably meant: "µF". */
  readonly meant?: string;
  readonly amplitude?: Amplitude;
  /** `ac` where written RMS or AC, `dc` where written DC. */
  readonly current?: 'ac' | 'dc';
}

/** Other spellings of prefixes; capitals are unmistakable where no other prefix has the letter. */
const aliases: Readonly<Record<string, string>> = { u: 'µ', U: 'µ', P: 'p', N: 'n', K: 'k', uu: 'µµ', UU: 'µµ' };
const words: Readonly<Record<string, string>> = {
  pico: 'p',
  nano: 'n',
  micro: 'µ',
  milli: 'm',
  kilo: 'k',
  kil: 'k',
  mega: 'M',
  meg: 'M',
  giga: 'G',
};

const own = (table: Readonly<Record<string, string>>, key: string): string | undefined =>
  Object.hasOwn(table, key) ? table[key] : undefined;

/** The canonical prefix for a spelling; unknown letters come back as they are. */
const canonical = (prefix: string): string => own(aliases, prefix) ?? own(words, prefix.toLowerCase()) ?? prefix;

function reading(dimension: Dimension, prefix: string, unit: string): UnitReading | null {
  const { prefixes: allowed, slips } = dimensions[dimension];
  const meant = own(slips, prefix);
  const literal = Object.hasOwn(prefixes, prefix) ? prefixes[prefix]! : null;
  if (literal === null && meant === undefined) return null;
  return {
    dimension,
    unit,
    exponent: allowed.includes(prefix) ? literal : null,
    literal,
    ...(meant === undefined ? {} : { meant: meant + unit }),
  };
}

/** What a prefix without a unit means in each of the dimensions wanted: the "k" of "4.7k". */
export const readPrefix = (letters: string, wanted: readonly Dimension[]): UnitReading[] =>
  wanted.flatMap((dimension) => reading(dimension, canonical(letters), dimensions[dimension].base) ?? []);

const swing = /^(.*(?:volts?|amps?|v|a)) ?(rms|eff|ac|dc|peak[- ]to[- ]peak|pk-?pk|p-?p|peak|pk|p)$/i;

function readSwing(word: string): Pick<UnitReading, 'amplitude' | 'current'> {
  const low = word.toLowerCase();
  if (low === 'dc') return { current: 'dc' };
  if (low === 'rms' || low === 'eff' || low === 'ac') return { amplitude: 'rms', current: 'ac' };
  return { amplitude: /^(p|pk|peak)$/.test(low) ? 'peak' : 'peak-to-peak' };
}

/** Every dimension a written unit may belong to, with its prefix: "kohm", "µF", "mV RMS", "dBu". Empty where it is no unit. */
export function readUnit(letters: string): UnitReading[] {
  // dBv was the old name of dBu and is today mostly a mistyped dBV: it says neither.
  if (/^d[bB] ?v$/.test(letters))
    return [{ dimension: 'level', unit: 'dBV', exponent: null, literal: null, meant: 'dBV' }];
  const tail = swing.exec(letters);
  if (tail)
    return readPlainUnit(tail[1]!)
      .filter(({ dimension }) => dimension === 'voltage' || dimension === 'current')
      .map((found) => ({ ...found, ...readSwing(tail[2]!) }));
  return readPlainUnit(letters);
}

function readPlainUnit(letters: string): UnitReading[] {
  const text = letters.replaceAll(' ', '');
  const low = text.toLowerCase();
  return allDimensions.flatMap((dimension) => {
    for (const spelling of dimensions[dimension].spellings) {
      if (!low.endsWith(spelling.toLowerCase())) continue;
      const prefix = canonical(text.slice(0, text.length - spelling.length));
      const found = reading(dimension, prefix, dimension === 'level' ? spelling : dimensions[dimension].base);
      if (found) return [found];
    }
    return [];
  });
}

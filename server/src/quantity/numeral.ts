/** A number apart from its unit. */
export interface Numeral {
  /** The number as written, with a decimal point and the true sign: what a suggestion repeats. */
  readonly digits: string;
  /** The letter that stood for the decimal point: the "k" of "4k7". */
  readonly point?: string;
  /** What stands behind the digits: prefix and unit, unread. */
  readonly letters: string;
  /** Written "±": a tolerance, not a value. */
  readonly plusMinus: boolean;
  /** Ways to write it that cannot be mistaken, where the comma can be either mark. */
  readonly doubt?: readonly string[];
  /** The value times 10^exponent, rounded once, so that 4.7k is 4700 and no neighbour of it. */
  scaled(exponent: number): number;
}

/** One code point for µ, Ω and minus, plain single spaces, nothing around it. Lengths may change. */
export const tidy = (text: string): string =>
  text
    .replaceAll('\u03bc', '\u00b5')
    .replaceAll('\u2126', '\u03a9')
    .replace(/[\u2212\u2013\ufe63\uff0d]/g, '-')
    .replace(/\s+/g, ' ')
    .trim();

const sign = '(±|\\+\\/?-)? ?([+-]?) ?';
const plain = new RegExp(`^${sign}(\\d+(?:[.,]\\d*)?|[.,]\\d+)(?:[eE]([+-]?\\d+))? ?(\\D.*)?$`);
/** Letter for point (IEC 60062). Units need a digit before them; capital N, P, U take two digits at most: 1N4148 is a diode. */
const lettered = new RegExp(
  `^${sign}(?:(\\d*)(meg|[pnuµmkKMGTRr]|[PNU](?=\\d{1,2}(?!\\d)))|(\\d+)([ΩVvFfHhAaWw]))(\\d+) ?(\\D.*)?$`,
);
const fraction = /^(\d{1,3})\/(\d{1,3}) ?(w|watts?)$/i;

/** Takes a tidied text apart into number and letters; null where it does not start as a number. */
export function readNumeral(text: string): Numeral | null {
  const part = fraction.exec(text);
  if (part) {
    const value = Number(part[1]) / Number(part[2]);
    const scaled = (exponent: number) => value * 10 ** exponent;
    return { digits: String(value), letters: part[3]!, plusMinus: false, scaled };
  }
  const code = lettered.exec(text);
  if (code) {
    const digits = `${code[2] === '-' ? '-' : ''}${(code[3] ?? code[5]) || '0'}.${code[7]}`;
    return numeral(digits, 0, code[8], code[1], code[4] ?? code[6]);
  }
  const match = plain.exec(text);
  if (!match) return null;
  const mantissa = `${match[2] === '-' ? '-' : ''}${match[3]!.replace(',', '.')}`;
  const found = numeral(mantissa, Number(match[4] ?? 0), match[5], match[1]);
  // "1,000" is one in Vienna and a thousand in London.
  if (!/^[1-9]\d{0,2},\d{3}$/.test(match[3]!)) return found;
  const rest = match[5] === undefined ? '' : ` ${match[5]}`;
  return { ...found, doubt: [mantissa.replace('.', '') + rest, String(Number(mantissa)) + rest] };
}

function numeral(digits: string, power: number, letters = '', plusMinus?: string, point?: string): Numeral {
  return {
    digits: power === 0 ? digits : `${digits}e${power}`,
    letters: letters.trim(),
    plusMinus: plusMinus !== undefined,
    ...(point === undefined ? {} : { point }),
    scaled: (exponent) => Number(`${digits}e${power + exponent}`),
  };
}

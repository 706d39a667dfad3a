import type { Dimension } from './dimension';
import { parseQuantity, type QuantityResult } from './quantity';

/** One quantity of a short form, at its UTF-16 offsets in the text: start inclusive, end exclusive. */
export interface QuantityPart extends QuantityResult {
  readonly text: string;
  readonly start: number;
  readonly end: number;
}

export interface ShortForm {
  /** What leads: the part's value. Absent where the text is empty. */
  readonly lead?: QuantityPart;
  /** Rating, tolerance and the like, in the order written; each names its own unit. */
  readonly further: readonly QuantityPart[];
  /** What is no quantity: "X7R", "film". */
  readonly words: readonly { readonly text: string; readonly start: number; readonly end: number }[];
}

interface Token {
  readonly text: string;
  readonly start: number;
  readonly end: number;
}

/** Pieces between spaces, "@", ";", ", " and a "/" that is neither in "1/4" nor in "+/-". */
const piece = /(?:(?:±|\+\/?-) ?)?(?:,(?=\d)|\d\/(?=\d)|[^\s@;,/])+/g;
const number = /^(?:±|\+\/?-)? ?[+\-\u2212]?[\d.,/]+(?:[eE][+-]?\d+)?$/;
const unitWord = /^[^\d+\-±\u2212.,]+$/;
const secondUnitWord =
  /^(?:rms|eff|ac|dc|pp|p-p|pk|peak|fs|ohms?|farads?|volts?|amps?|watts?|hertz|[Ω\u2126FHVAW]|Hz)$/i;

/** Pieces with numbers and their units joined again: "22 uF" is one, "470 1%" stays two. */
function tokens(text: string): Token[] {
  const joined: Token[] = [];
  let open = 0; // how many more words the last token may take in
  for (const match of text.matchAll(piece)) {
    const start = match.index;
    const end = start + match[0].length;
    const last = joined.at(-1);
    const only = last !== undefined && text.slice(last.end, start).trim() === '';
    const fits = open === 2 ? unitWord.test(match[0]) : open === 1 && secondUnitWord.test(match[0]);
    if (last && only && fits) {
      joined[joined.length - 1] = { text: text.slice(last.start, end), start: last.start, end };
      open = 1;
      continue;
    }
    joined.push({ text: match[0], start, end });
    open = number.test(match[0]) ? 2 : /\d/.test(match[0]) ? 1 : 0;
  }
  return joined;
}

/**
 * Reads a short form such as "22 uF 6.3 V 10 %" or "470 1% 0.25 W": the first quantity in one of the dimensions of `lead` (there a
 * number alone will do), the others in those of `further` (there it will not). Never throws.
 */
export function parseQuantities(
  text: string,
  forms: { readonly lead: readonly Dimension[]; readonly further: readonly Dimension[] },
): ShortForm {
  const [first, ...rest] = tokens(text);
  const further: QuantityPart[] = [];
  const words: Token[] = [];
  for (const token of rest) {
    const result = parseQuantity(token.text, forms.further, { bare: false });
    // What does not start as a number was not meant as one: a dielectric, a make.
    if (result.problem && !/^[\d.,+\-±\u2212]/.test(token.text)) words.push(token);
    else further.push({ ...token, ...result });
  }
  return { ...(first ? { lead: { ...first, ...parseQuantity(first.text, forms.lead) } } : {}), further, words };
}

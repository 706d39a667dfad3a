import type { Pinout } from '../../board/pinout';
import { markingWeight } from './weights';

/** Whether a text is what a pattern says: `?` any one character, `*` any run, case ignored. Linear in both lengths for one `*`. */
export function matchesPattern(pattern: string, text: string): boolean {
  const wanted = pattern.trim().toUpperCase();
  const given = text.trim().toUpperCase();
  let at = 0;
  let from = 0;
  let star = -1;
  let resume = 0;
  while (from < given.length) {
    if (at < wanted.length && (wanted[at] === '?' || (wanted[at] === given[from] && wanted[at] !== '*'))) {
      at++;
      from++;
    } else if (wanted[at] === '*') {
      star = at++;
      resume = from;
    } else if (star >= 0) {
      at = star + 1;
      from = ++resume;
    } else return false;
  }
  while (wanted[at] === '*') at++;
  return at === wanted.length;
}

/**
 * The pattern of a pinout that fits a marking, the one that spells out most: the whole marking, or one of its words, as a date code
 * or a maker's line often stands beside the type. Undefined where none fits.
 */
export function fittingMarking(pinout: Pinout, marking: string): string | undefined {
  const texts = [marking, ...marking.split(/\s+/).filter((word) => word !== '')];
  return pinout.markings
    .filter((pattern) => texts.some((text) => matchesPattern(pattern, text)))
    .sort((a, b) => spelled(b) - spelled(a))[0];
}

const spelled = (pattern: string): number => pattern.replace(/[?*\s]/g, '').length;

/** How much a marking speaks for a pinout, as the logarithm of a likelihood ratio; 0 where either says nothing. */
export function markingEvidence(pinout: Pinout, marking: string | undefined): number {
  if (marking === undefined || marking.trim() === '' || pinout.markings.length === 0) return 0;
  const fits = fittingMarking(pinout, marking);
  if (fits === undefined) return Math.log(markingWeight.mismatch);
  return Math.log(Math.min(markingWeight.most, 2 ** (spelled(fits) / 2)));
}

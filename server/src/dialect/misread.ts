import type { Span } from '../text/span';
import type { Problem } from './type';

/** Text that YAML would cut short or take for something else, and the quotes that mend it. */

export type MisreadKind = 'colon' | 'hash' | 'leading' | 'dash' | 'quote' | 'bracket' | 'comma';

/** A value YAML does not read as it is written. `text` is what its writer meant. */
export interface Misread {
  readonly span: Span;
  readonly text: string;
  readonly kind: MisreadKind;
}

/** Characters that may not start a text without quotes. Quotes and brackets are judged where they stand. */
export const leadingSigns = '!*&@%|>`#,]}';

/** Whether a `#` here is followed at once by a letter or digit: then it is text, not a comment. */
export const isTextHash = (text: string, at: number): boolean => /^[\p{L}\p{N}]/u.test(text.slice(at + 1, at + 3));

/** The text as a quoted scalar on one line: plain double quotes where they need no escapes, else single ones. */
export function quote(text: string): string {
  if (!/["\\\x00-\x1f]/.test(text)) return `"${text}"`;
  if (!/['\x00-\x1f]/.test(text)) return `'${text}'`;
  const escaped = text.replace(/["\\]/g, '\\$&').replace(/[\x00-\x1f]/g, (control) => {
    return `\\x${control.charCodeAt(0).toString(16).padStart(2, '0')}`;
  });
  return `"${escaped}"`;
}

/** What the writer of a misread stretch meant: lines joined, and a quote that was opened but never closed taken off. */
export function meantText(source: string, kind: MisreadKind): string {
  const joined = source.replace(/[ \t]*[\r\n]\s*/g, ' ');
  return kind === 'quote' && joined.startsWith('"') && !joined.includes('"', 1) ? joined.slice(1) : joined;
}

function why(misread: Misread): string {
  const first = String.fromCodePoint(misread.text.codePointAt(0) ?? 0x2d);
  switch (misread.kind) {
    case 'colon':
      return 'The colon and space inside this text would end a key.';
    case 'hash':
      return 'The rest of this text, from the `#` on, would be taken for a comment.';
    case 'comma':
      return 'Inside braces the comma ends the text, and what follows would be a key.';
    case 'bracket':
      return 'Brackets inside this text would open or close a list or map.';
    case 'dash':
      return misread.text === '-'
        ? 'A dash by itself would start a list.'
        : 'A dash and a space would start a list, whose entries go on lines of their own.';
    case 'quote':
      return 'This text starts with a quote mark that does not close at its end.';
    case 'leading':
      return `A text may not start with \`${first}\`, which has a meaning of its own.`;
  }
}

/** The one finding about a misread value: why, and the quotes that mend it. */
export function misreadProblem(misread: Misread): Problem {
  // More than the dash alone may well be a list after all.
  const safe = misread.kind !== 'dash' || misread.text === '-';
  return {
    check: 'syntax',
    span: misread.span,
    message: `${why(misread)} Put it in quotes.`,
    fixes: [{ title: 'Put it in quotes', edits: [{ span: misread.span, text: quote(misread.text) }], safe }],
  };
}

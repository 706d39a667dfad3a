import type { Span } from './span';

/** Error: damages, or cannot be true. Warning: likely fault. Info: probably unintended. Hint: could be said better. */
export type Severity = 'error' | 'warning' | 'info' | 'hint';

/** A stretch of one file. `file` is whatever the workspace names files by: an absolute path or a URI. */
export interface Place {
  readonly file: string;
  readonly span: Span;
}

/** One change of one file's text. */
export interface Edit extends Place {
  readonly text: string;
}

/** A way to mend a finding. Safe: applied without a look, it changes what is meant and nothing else. */
export interface Fix {
  readonly title: string;
  readonly edits: readonly Edit[];
  readonly safe: boolean;
}

/**
 * A claim to a person with a soldering iron: what was found, from which evidence, with which figure.
 * `at` names points of the board ("U1.14"), `evidence` what it rests on ("capture tone-left", "buzzed U1.2 J2.sleeve"),
 * `figures` the numbers in the message, in base units or dB and degrees as their names say.
 */
export interface Finding {
  readonly check: string;
  readonly severity: Severity;
  readonly place: Place;
  readonly message: string;
  readonly at: readonly string[];
  readonly evidence: readonly string[];
  readonly figures: Readonly<Record<string, number | string | boolean | null>>;
  readonly related: readonly { readonly place: Place; readonly message: string }[];
  readonly fixes: readonly Fix[];
}

const order: readonly Severity[] = ['error', 'warning', 'info', 'hint'];

/** 0 for error … 3 for hint. */
export const rank = (severity: Severity): number => order.indexOf(severity);

/** One step less severe; a hint stays a hint. */
export const weaker = (severity: Severity): Severity => order[Math.min(rank(severity) + 1, 3)]!;

/** Order in which findings are told: by file, place, check and points, so that two runs print the same. */
export function compareFindings(a: Finding, b: Finding): number {
  return (
    compareText(a.place.file, b.place.file) ||
    a.place.span.start - b.place.span.start ||
    a.place.span.end - b.place.span.end ||
    compareText(a.check, b.check) ||
    compareText(a.at.join(' '), b.at.join(' ')) ||
    compareText(a.message, b.message)
  );
}

/** Code-unit order: the same on every machine, whatever its locale. */
export const compareText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

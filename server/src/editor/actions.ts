import type { Edit, Finding, Fix } from '../text/finding';
import type { Span } from '../text/span';
import type { Analysis } from './analysis';
import { shown } from './diagnostics';

/** Something the editor may do to the text at a place. */
export interface Action {
  readonly title: string;
  readonly kind: 'quickfix' | 'move' | 'rewrite' | 'extract' | 'fix-all';
  readonly edits: readonly Edit[];
  /** A file to be made beside the one it starts from, before the edits. */
  readonly create?: { readonly name: string; readonly text: string };
  /** It changes what is meant and nothing else: fit to be done without a look. */
  readonly safe: boolean;
  /** The finding it mends. */
  readonly finding?: Finding;
}

/** The fixes of the findings that a selection touches. */
export function quickFixes(analysis: Analysis, selection: Span): Action[] {
  return analysis.findings.flatMap((finding) => {
    if (finding.place.file !== analysis.uri) return [];
    const span = shown(finding.place.span, analysis.text);
    if (selection.end < span.start || span.end < selection.start) return [];
    return finding.fixes.map((fix) => ({ ...fix, kind: 'quickfix' as const, finding }));
  });
}

/** Every safe fix of a file at once, those left out that touch the text of one before; undefined where there is none. */
export function fixAll(analysis: Analysis): Action | undefined {
  const taken: Edit[] = [];
  let count = 0;
  for (const finding of analysis.findings) {
    const fix: Fix | undefined = finding.fixes.find((one) => one.safe);
    if (!fix || fix.edits.some((edit) => taken.some((other) => overlaps(edit, other)))) continue;
    taken.push(...fix.edits);
    count++;
  }
  if (count === 0) return undefined;
  return { title: `Mend what can be mended safely (${count})`, kind: 'fix-all', edits: taken, safe: true };
}

const overlaps = (a: Edit, b: Edit): boolean =>
  a.file === b.file && a.span.start <= b.span.end && b.span.start <= a.span.end;

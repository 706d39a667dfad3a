import type { Edit } from '../../server/src/text/finding';

/** A text after edits that do not overlap. */
export const apply = (text: string, edits: readonly Edit[]): string =>
  [...edits]
    .sort((a, b) => b.span.start - a.span.start)
    .reduce((all, edit) => all.slice(0, edit.span.start) + edit.text + all.slice(edit.span.end), text);

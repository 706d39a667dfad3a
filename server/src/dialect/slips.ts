import type { Span } from '../text/span';
import type { Draft } from './draft';

/** Slips of indentation and colons, and how to mend them. */

/** A list or map that is open at the line being read, and the column its entries start in. */
export interface Level {
  readonly indent: number;
  readonly list: boolean;
}

/** Tabs before a line's text: one finding a file, whose fix covers all of them. */
export function reportTabs(draft: Draft, first: Span): void {
  const edits = [...draft.text.matchAll(/^[ \t]*\t[ \t]*/gm)].map((match) => ({
    span: { start: match.index, end: match.index + match[0].length },
    text: match[0].replace(/\t/g, '  '),
  }));
  draft.report(first, 'Lines are indented with spaces, not with tabs.', [
    { title: 'Indent with spaces', edits, safe: false },
  ]);
}

/** A line that starts in a column of its own, further out than the entries it follows. */
export function reportColumn(draft: Draft, p: number, indent: number, closed: Level): void {
  const start = p - indent;
  draft.report(
    { start: p, end: Math.max(p + 1, draft.lineEnd(p)) },
    `This line stands in column ${indent + 1}, but the ones above it in column ${closed.indent + 1}; entries of one ${closed.list ? 'list' : 'map'} start in the same column.`,
    [
      {
        title: `Move it to column ${closed.indent + 1}`,
        edits: [{ span: { start, end: p }, text: ' '.repeat(closed.indent) }],
        safe: false,
      },
    ],
  );
  draft.broken.push({ start: p, end: draft.lineEnd(p) });
}

/**
 * Covers a line at `p` without a colon and a space where a key belongs, so that it reads as a key. A colon with no space behind it still ends
 * the key, and what follows it is given up. Returns whether the value may come below.
 */
export function coverBareKey(draft: Draft, p: number, end: number): boolean {
  const colon = draft.text.slice(p, end).search(/.:(?=\S)/) + 1;
  const keyEnd = colon > 0 ? p + colon : end;
  const span = { start: p, end: keyEnd };
  const at = colon > 0 ? keyEnd + 1 : end;
  const [title, text] = colon > 0 ? ['Put a space behind the colon', ' '] : ['Put a colon behind it', ':'];
  draft.report({ start: p, end: at }, 'A key is followed by a colon and a space.', [
    { title, edits: [{ span: { start: at, end: at }, text }], safe: colon > 0 },
  ]);
  draft.bareKeys.set(p, { span, text: draft.text.slice(p, keyEnd) });
  if (colon > 0) {
    draft.broken.push({ start: at, end });
    draft.cover(p, `${'x'.repeat(colon)}:${' '.repeat(end - at)}`);
  } else draft.cover(p, `${'x'.repeat(end - p - 1)}:`);
  return colon <= 0;
}

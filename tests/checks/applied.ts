import { expect } from 'vitest';
import type { Fix } from '../../server/src/text/finding';
import { benchFolder } from '../harness/memory';

export type Contents = Readonly<Record<string, string | Uint8Array>>;

/** The files with a fix applied. Edits of one text do not overlap. */
export function applied(files: Contents, fix: Fix): Contents {
  const after: Record<string, string | Uint8Array> = { ...files };
  for (const uri of new Set(fix.edits.map((edit) => edit.file))) {
    const name = uri.slice(benchFolder.length);
    const edits = fix.edits.filter((edit) => edit.file === uri).sort((a, b) => b.span.start - a.span.start);
    let text = String(files[name]);
    let limit = text.length;
    for (const { span, text: inserted } of edits) {
      expect(span.end, 'edits overlap').toBeLessThanOrEqual(limit);
      text = text.slice(0, span.start) + inserted + text.slice(span.end);
      limit = span.start;
    }
    after[name] = text;
  }
  return after;
}

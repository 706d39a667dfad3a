import { newCaptures } from '../../editor/new-captures';
import { newFile } from '../../editor/snippets';
import * as messages from '../../messages';
import type { Desk } from '../desk';

/** What a client of ours needs to begin: new files, and entries for recordings laid into a board. */
export function registerBeginning({ connection, readable }: Desk): void {
  connection.onRequest(
    messages.newFile,
    ({ kind, name }: messages.NewFileParams): messages.NewFileResult => ({
      snippet: newFile(kind, name),
    }),
  );

  connection.onRequest(
    messages.newCaptures,
    async ({ uri, paths }: messages.NewCapturesParams): Promise<messages.NewCapturesResult> => {
      const analysis = await readable(uri);
      if (analysis?.kind !== 'board') return { edits: [] };
      return {
        edits: newCaptures(analysis, paths).map(({ span, text }) => ({ ...analysis.lines.position(span.start), text })),
      };
    },
  );
}

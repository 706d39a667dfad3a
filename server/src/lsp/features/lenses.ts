import type { CodeLens } from 'vscode-languageserver';
import { codeLenses } from '../../editor/lenses';
import { toRange } from '../convert';
import type { Desk } from '../desk';

/** The command this server runs itself: recordings whose measurement was stopped are measured after all. */
export const measureAgain = 'buzzout.measureAgain';

/** Lines above a board's title and its recordings: what they came to, and what can be done with them here. */
export function registerLenses(desk: Desk): void {
  const { connection, workspace } = desk;

  connection.onCodeLens(async ({ textDocument: { uri } }): Promise<CodeLens[] | null> => {
    const analysis = await desk.readable(uri);
    if (!analysis) return null;
    return codeLenses(analysis).flatMap((lens) => {
      const range = toRange(analysis.lines, lens.span);
      const state =
        analysis.kind === 'board' && lens.capture !== undefined
          ? analysis.snapshot.captures.get(lens.capture)
          : undefined;
      if (state?.is === 'pending' && state.stopped)
        return [{ range, command: { title: lens.title, command: measureAgain, arguments: [uri, lens.capture] } }];
      const command = lens.command && `buzzout.${lens.command}`;
      if (command && desk.client.commands.has(command))
        return [{ range, command: { title: lens.title, command, arguments: [uri, lens.capture] } }];
      // Only what tells something by itself stays where the client has nothing to do it with.
      return !lens.command || lens.capture !== undefined
        ? [{ range, command: { title: lens.title, command: '' } }]
        : [];
    });
  });

  connection.onExecuteCommand(async ({ command }) => {
    if (command !== measureAgain) return;
    workspace.measureStopped();
    desk.touchAll();
  });
}

import { ProgressLocation, Uri, window } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  type CheckBoardParams,
  type CheckBoardResult,
  checkBoard,
  type ListBoardsResult,
  listBoards,
} from '../../server/src/messages';
import { type Pages, pageScheme } from './pages';

/** Checks every board of the workspace, one after the other, and lays out what was found; what was done before a stop is kept. */
export async function checkAll(client: BaseLanguageClient | undefined, pages: Pages): Promise<void> {
  if (!client?.isRunning()) return;
  const results: CheckBoardResult[] = [];
  let boards: readonly string[] = [];
  await window.withProgress(
    { location: ProgressLocation.Notification, title: 'Buzzout: checking every board', cancellable: true },
    async (progress, token) => {
      try {
        boards = (await client.sendRequest<ListBoardsResult>(listBoards, {}, token)).uris;
        for (const [at, uri] of boards.entries()) {
          const name = decodeURIComponent(uri.slice(uri.lastIndexOf('/') + 1));
          progress.report({ message: `${at + 1} of ${boards.length}, ${name}`, increment: at && 100 / boards.length });
          const params: CheckBoardParams = { uri };
          results.push(await client.sendRequest<CheckBoardResult>(checkBoard, params, token));
        }
      } catch (error) {
        if (!token.isCancellationRequested) throw error;
      }
    },
  );
  await pages.put(Uri.from({ scheme: pageScheme, path: '/Every board.md' }), summary(results, boards.length));
}

/** What was found, board by board, below one line for all. */
export function summary(results: readonly CheckBoardResult[], boards: number): string {
  if (boards === 0) return '# Every board\n\nThere is no `*.board.yaml` in this workspace.';
  const words = ['error', 'warning', 'info', 'hint'].flatMap((severity) => {
    const count = results.reduce((sum, { counts }) => sum + (counts.find(([name]) => name === severity)?.[1] ?? 0), 0);
    return count === 0 ? [] : [`${count} ${count === 1 || severity === 'info' ? severity : `${severity}s`}`];
  });
  const on = `on ${results.length} ${results.length === 1 ? 'board' : 'boards'}`;
  const stopped = results.length < boards ? ` Stopped before ${boards - results.length} more.` : '';
  return [
    '# Every board',
    `${words.length === 0 ? `Nothing found ${on}` : `${words.join(', ')} ${on}`}.${stopped}`,
    ...results.map(({ markdown }) => markdown),
    '---\n\nThe setting `buzzout.wholeWorkspace` keeps these findings in the Problems view too.',
  ].join('\n\n');
}

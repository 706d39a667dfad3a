import { type CancellationToken, LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import { copperMap } from '../../editor/describe/copper-map';
import { diagnosisPage, measurePage } from '../../editor/describe/pages';
import * as messages from '../../messages';
import { kindOf } from '../../workspace/files';
import type { Desk } from '../desk';
import { tracesOf } from '../pictures';
import { steered } from '../progress';
import type { Reports } from '../reports';

/** What a client of ours shows beside a board, and the check of every board there is. */
export function registerPages(desk: Desk, reports: Reports): void {
  const { connection, workspace } = desk;

  const render = async (
    { uri, kind, capture: name }: messages.PageParams,
    token: CancellationToken,
  ): Promise<string | undefined> => {
    // Copper waits for no recording.
    const analysis = kind === 'copper-map' ? await desk.readable(uri) : await desk.measured(uri);
    if (analysis?.kind !== 'board') return undefined;
    if (kind === 'copper-map') return copperMap(analysis);
    if (kind === 'measure') {
      const capture = analysis.board.captures.find((one) => one.name === name);
      return capture && measurePage(analysis, capture, await tracesOf(desk, analysis, capture, steered(token)));
    }
    const diagnosis = await workspace.diagnosis(analysis, steered(token));
    return diagnosis && diagnosisPage(analysis, diagnosis);
  };

  connection.onRequest(
    messages.page,
    async (params: messages.PageParams, token: CancellationToken): Promise<messages.PageResult> => {
      const markdown = await render(params, token);
      if (token.isCancellationRequested) throw calledOff();
      return markdown === undefined ? null : { markdown };
    },
  );

  connection.onRequest(
    messages.captureNames,
    async ({ uri }: messages.CaptureNamesParams): Promise<messages.CaptureNamesResult> => {
      const analysis = await desk.readable(uri);
      const captures = analysis?.kind === 'board' ? analysis.board.captures : [];
      return { names: captures.flatMap(({ name, file }) => (file ? [name] : [])) };
    },
  );

  connection.onRequest(
    messages.listBoards,
    async (): Promise<messages.ListBoardsResult> => ({
      uris: (await desk.allFiles()).filter((uri) => kindOf(uri) === 'board'),
    }),
  );

  connection.onRequest(
    messages.checkBoard,
    async ({ uri }: messages.CheckBoardParams, token: CancellationToken): Promise<messages.CheckBoardResult> => {
      const analysis = await desk.settled(uri);
      if (token.isCancellationRequested) throw calledOff();
      return { diagnostics: (await reports.make(analysis)).items };
    },
  );
}

const calledOff = () => new ResponseError(LSPErrorCodes.RequestCancelled, 'called off');

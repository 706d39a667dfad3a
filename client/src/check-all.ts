import {
  type CancellationToken,
  commands,
  type Diagnostic,
  type Disposable,
  languages,
  ProgressLocation,
  window,
  workspace,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  type CheckBoardParams,
  type CheckBoardResult,
  checkBoard,
  type ListBoardsResult,
  listBoards,
} from '../../server/src/messages';
import { counted } from './counts';

/** Checks every board of the workspace when asked; what it finds stands in the Problems view until a board is opened. */
export class CheckAll implements Disposable {
  /** Findings of boards that are not open: of an open one the server speaks anyway. */
  private readonly found = languages.createDiagnosticCollection('buzzout-every-board');
  private readonly opening = workspace.onDidOpenTextDocument(({ uri }) => this.found.delete(uri));

  constructor(private readonly client: () => BaseLanguageClient | undefined) {}

  dispose(): void {
    this.found.dispose();
    this.opening.dispose();
  }

  /** One board after the other; what was found before the user stops it is kept. */
  async run(): Promise<void> {
    const client = this.client();
    if (!client?.isRunning()) return;
    this.found.clear();
    const all: Diagnostic[] = [];
    let boards: readonly string[] = [];
    let done = 0;
    await window.withProgress(
      { location: ProgressLocation.Notification, title: 'Buzzout checks every board', cancellable: true },
      async (progress, token) => {
        try {
          boards = (await client.sendRequest<ListBoardsResult>(listBoards, {}, token)).uris;
          for (const uri of boards) {
            const name = decodeURIComponent(uri.slice(uri.lastIndexOf('/') + 1));
            progress.report({ message: `${done + 1} of ${boards.length}: ${name}` });
            all.push(...(await this.check(client, { uri }, token)));
            done++;
            progress.report({ increment: 100 / boards.length });
          }
        } catch (error) {
          if (!token.isCancellationRequested) throw error;
        }
      },
    );
    void this.tell(all, done, boards.length);
  }

  private async check(
    client: BaseLanguageClient,
    params: CheckBoardParams,
    token: CancellationToken,
  ): Promise<readonly Diagnostic[]> {
    const { diagnostics } = await client.sendRequest<CheckBoardResult>(checkBoard, params, token);
    const found = await client.protocol2CodeConverter.asDiagnostics([...diagnostics]);
    const uri = client.protocol2CodeConverter.asUri(params.uri);
    const open = workspace.textDocuments.some((document) => document.uri.toString() === uri.toString());
    const shown = workspace.getConfiguration('buzzout').get<boolean>('wholeWorkspace') === true;
    if (!open && !shown) this.found.set(uri, found);
    return found;
  }

  private async tell(all: readonly Diagnostic[], done: number, boards: number): Promise<void> {
    const show = 'Show the findings';
    const text = boards === 0 ? 'there is no *.board.yaml in this workspace' : outcome(all, done, boards);
    const chosen = await window.showInformationMessage(`Buzzout: ${text}.`, ...(all.length > 0 ? [show] : []));
    if (chosen === show) await commands.executeCommand('workbench.actions.view.problems');
  }
}

function outcome(all: readonly Diagnostic[], done: number, boards: number): string {
  const rest = done < boards ? `; stopped before ${boards - done} more` : '';
  return `${counted(all).join(', ') || 'nothing found'} on ${done} ${done === 1 ? 'board' : 'boards'}${rest}`;
}

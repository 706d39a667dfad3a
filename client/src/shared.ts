import { commands, type ExtensionContext, languages, Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import { BoardInFront } from './board-in-front';
import { CheckAll } from './check-all';
import { followSignal, openDemo, showAwaited } from './demo';
import { languageIds } from './languages';
import { layIn } from './lay-in';
import { beginFile } from './new-file';
import { Pages } from './pages';
import { Status } from './status';

/** What stands above a board's title and its recordings can be clicked here. */
const pageCommands = ['measure', 'diagnose', 'copper-map'] as const;

/**
 * Starts the server through a client that `connect` makes, with the commands and the status both editors share.
 * A client whose server failed to start cannot be started again, so every start makes a new one.
 */
export async function run(
  context: ExtensionContext,
  connect: (options: LanguageClientOptions) => BaseLanguageClient,
): Promise<void> {
  let client: BaseLanguageClient | undefined;
  const status = new Status();
  const front = new BoardInFront();
  const pages = new Pages(
    () => client,
    () => front.uri(),
  );
  const every = new CheckAll(() => client);
  const heard = (uri: Uri) => {
    status.heard(uri);
    pages.heard(uri);
  };
  const outputChannel = window.createOutputChannel('Buzzout', { log: true });
  const options: LanguageClientOptions = {
    documentSelector: languageIds.map((language) => ({ language })),
    outputChannel,
    diagnosticPullOptions: { onChange: true },
    initializationOptions: () => ({
      restricted: !workspace.isTrusted,
      commands: pageCommands.map((name) => `buzzout.${name}`),
      pictures: true,
    }),
    middleware: {
      async provideDiagnostics(document, previous, token, next) {
        const report = await next(document, previous, token);
        heard(document instanceof Uri ? document : document.uri);
        return report;
      },
      handleDiagnostics(uri, diagnostics, next) {
        next(uri, diagnostics);
        heard(uri);
      },
    },
  };
  const stop = async () => {
    const old = client;
    client = undefined;
    if (old?.needsStop()) await old.dispose();
  };
  const start = async () => {
    try {
      await stop();
      client = connect(options);
      status.follow(client);
      await client.start();
    } catch (error) {
      const said = error instanceof Error ? error.message : String(error);
      void window.showErrorMessage(`Buzzout: the language server did not start. ${said}`);
    }
  };
  context.subscriptions.push(
    status,
    front,
    pages,
    every,
    outputChannel,
    { dispose: stop },
    workspace.onDidGrantWorkspaceTrust(start),
    commands.registerCommand('buzzout.openDemo', async () => void (await openDemo(context))),
    commands.registerCommand('buzzout.followSignal', () => followSignal(context)),
    commands.registerCommand('buzzout.newBoard', () => beginFile(client, 'board')),
    commands.registerCommand('buzzout.newPinout', () => beginFile(client, 'pinout')),
    ...pageCommands.map((name) =>
      commands.registerCommand(`buzzout.${name}`, (board?: string | Uri, capture?: unknown) =>
        pages.show(name, board, typeof capture === 'string' ? capture : undefined),
      ),
    ),
    commands.registerCommand('buzzout.checkAll', () => every.run()),
    languages.registerDocumentDropEditProvider(
      { language: 'buzzout-board' },
      { provideDocumentDropEdits: (document, _position, dropped) => layIn(client, document, dropped) },
    ),
    commands.registerCommand('buzzout.restartServer', start),
    commands.registerCommand('buzzout.showLog', () => outputChannel.show()),
  );
  await start();
  await showAwaited(context);
}

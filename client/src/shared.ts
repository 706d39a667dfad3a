import { commands, type ExtensionContext, window, workspace } from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import { languageIds } from './languages';
import { showStatus } from './status';

/** What the desktop and the web client have in common: files of ours in any file system, and the files they rest on. */
export function clientOptions(): LanguageClientOptions {
  return {
    documentSelector: languageIds.map((language) => ({ language })),
    synchronize: {
      fileEvents: [
        workspace.createFileSystemWatcher('**/*.{board,pinout}.yaml'),
        workspace.createFileSystemWatcher('**/*.{wav,WAV,csv,CSV}'),
      ],
    },
    diagnosticCollectionName: 'buzzout',
  };
}

/** Starts the client with its commands and status. A server that fails to start says so; the command starts it again. */
export async function run(context: ExtensionContext, client: BaseLanguageClient): Promise<void> {
  const restart = async () => {
    try {
      if (client.needsStop()) await client.stop();
      await client.start();
    } catch (error) {
      const said = error instanceof Error ? error.message : String(error);
      void window.showErrorMessage(`Buzzout: the language server did not start. ${said}`);
    }
  };
  context.subscriptions.push(
    client,
    ...showStatus(client),
    commands.registerCommand('buzzout.restartServer', restart),
    commands.registerCommand('buzzout.showLog', () => client.outputChannel.show()),
  );
  await restart();
}

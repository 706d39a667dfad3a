import type { ExtensionContext } from 'vscode';
import { LanguageClient, type NodeModule, TransportKind } from 'vscode-languageclient/node';
import { run } from './shared';

/** The extension in a desktop or remote editor: the server is a process of its own. */
export function activate(context: ExtensionContext): Promise<void> {
  const server: NodeModule = { module: context.asAbsolutePath('dist/server.cjs'), transport: TransportKind.ipc };
  return run(context, (options) => new LanguageClient('buzzout', 'Buzzout', server, options));
}

import { type ExtensionContext, Uri } from 'vscode';
import { LanguageClient } from 'vscode-languageclient/browser';
import { serveFiles } from './files';
import { clientOptions, run } from './shared';

/** The extension in a web editor: the server is a web worker, which reads files through the client. */
export function activate(context: ExtensionContext): Promise<void> {
  const script = Uri.joinPath(context.extensionUri, 'dist/server-web.js').toString(true);
  let worker: Worker | undefined;
  const start = async () => {
    worker?.terminate();
    worker = new Worker(script);
    return worker;
  };
  const client = new LanguageClient('buzzout', 'Buzzout', start, clientOptions());
  serveFiles(client);
  context.subscriptions.push({ dispose: () => worker?.terminate() });
  return run(context, client);
}

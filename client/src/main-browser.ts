import { type ExtensionContext, Uri } from 'vscode';
import { BrowserMessageReader, BrowserMessageWriter, LanguageClient } from 'vscode-languageclient/browser';
import { serveFiles } from './files';
import { run } from './shared';

/** The extension in a web editor: the server is a web worker, which reads files through the client. */
export function activate(context: ExtensionContext): Promise<void> {
  const script = Uri.joinPath(context.extensionUri, 'dist/server-web.js').toString(true);
  let worker: Worker | undefined;
  const start = async () => {
    worker?.terminate();
    worker = new Worker(script);
    // Not the worker itself: web editors wrap it, and the client would not know it for one.
    return { reader: new BrowserMessageReader(worker), writer: new BrowserMessageWriter(worker) };
  };
  context.subscriptions.push({ dispose: () => worker?.terminate() });
  return run(context, (options) => {
    const client = new LanguageClient('buzzout', 'Buzzout', start, options);
    serveFiles(client);
    return client;
  });
}

import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { version } from '../../package.json';
import { clientFiles } from './lsp/client-files';
import { serve } from './lsp/server';
import { sameThread } from './workspace/compute';

declare const self: DedicatedWorkerGlobalScope;

const connection = createConnection(new BrowserMessageReader(self), new BrowserMessageWriter(self));
const files = clientFiles(connection);

serve(connection, {
  files,
  compute: sameThread(files),
  delay: (milliseconds) => new Promise((done) => setTimeout(done, milliseconds)),
  version,
});

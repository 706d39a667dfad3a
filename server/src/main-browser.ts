import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { version } from '../../package.json';
import { clientFiles } from './lsp/client-files';
import { serve } from './lsp/server';
import { sameThread } from './workspace/compute';

declare const self: DedicatedWorkerGlobalScope;

const connection = createConnection(new BrowserMessageReader(self), new BrowserMessageWriter(self));
const files = clientFiles(connection);

/** Lets messages in between two blocks of a recording; a timer would cost milliseconds each. */
const pause = () =>
  new Promise<void>((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      done();
    };
    port2.postMessage(null);
  });

serve(connection, {
  files,
  compute: sameThread(files, pause),
  delay: (milliseconds) => new Promise((done) => setTimeout(done, milliseconds)),
  version,
});

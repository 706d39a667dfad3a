// Builds every bundle into dist/: the extension for desktop and web, the server for Node and for a web worker, the command line.
// `node .build/bundle.mjs --production` minifies, as packaging wants it.
import { chmodSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const production = process.argv.includes('--production');
const shared = {
  absWorkingDir: root,
  bundle: true,
  format: 'cjs',
  target: 'es2022',
  minify: production,
  sourcemap: !production,
  logLevel: 'warning',
  loader: { '.md': 'text' },
  write: false,
  legalComments: 'none',
};
const node = { ...shared, platform: 'node', target: 'node20', external: ['vscode'] };
const browser = { ...shared, platform: 'browser', external: ['vscode'], mainFields: ['browser', 'module', 'main'] };

const bundles = await Promise.all([
  build({
    ...node,
    entryPoints: ['server/src/main-cli.ts'],
    outfile: 'dist/buzzout.cjs',
    banner: { js: '#!/usr/bin/env node' },
  }),
  build({ ...node, entryPoints: ['server/src/main-node.ts'], outfile: 'dist/server.cjs' }),
  build({ ...node, entryPoints: ['server/src/main-worker.ts'], outfile: 'dist/compute.cjs' }),
  build({ ...browser, format: 'iife', entryPoints: ['server/src/main-browser.ts'], outfile: 'dist/server-web.js' }),
  build({ ...node, entryPoints: ['client/src/main-node.ts'], outfile: 'dist/extension.cjs' }),
  build({ ...browser, entryPoints: ['client/src/main-browser.ts'], outfile: 'dist/extension-web.js' }),
  // esbuild has said what is wrong; the last whole set of bundles stays.
]).catch(() => process.exit(1));
rmSync(join(root, 'dist'), { recursive: true, force: true });
mkdirSync(join(root, 'dist'));
for (const { path, contents } of bundles.flatMap(({ outputFiles }) => outputFiles)) writeFileSync(path, contents);
chmodSync(join(root, 'dist/buzzout.cjs'), 0o755);

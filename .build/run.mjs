// Runs a TypeScript script of the project: `node .build/run.mjs tests/outside/setup.ts ARGS`. Packages stay where they are.
import { mkdirSync, rmSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const [script, ...args] = process.argv.slice(2);
const folder = join(root, 'node_modules/.cache/buzzout');
const outfile = join(folder, `script-${process.pid}.mjs`);

mkdirSync(folder, { recursive: true });
process.on('exit', () => rmSync(outfile, { force: true }));
await build({
  entryPoints: [resolve(script)],
  outfile,
  bundle: true,
  packages: 'external',
  platform: 'node',
  format: 'esm',
  target: 'node20',
  sourcemap: 'inline',
  logLevel: 'warning',
});
process.argv = [process.argv[0], resolve(script), ...args];
await import(pathToFileURL(outfile).href);

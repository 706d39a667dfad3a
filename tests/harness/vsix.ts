import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { root } from './tools';

/** Packs what `npm run build` has left in dist/ as `npm run package` would, into a folder of its own; gives the .vsix. */
export function packVsix(): string {
  if (!existsSync(join(root, 'dist/extension.cjs'))) throw new Error('nothing built yet: npm run build');
  const path = join(mkdtempSync(join(tmpdir(), 'buzzout-vsix-')), 'buzzout.vsix');
  execFileSync('npm', ['run', '--silent', 'vsix', '--', '-o', path], { cwd: root, stdio: 'pipe' });
  return path;
}

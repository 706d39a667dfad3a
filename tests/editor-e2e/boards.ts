import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Bench } from './bench';

/** Writes a board or pinout of a test's own into the folder and opens it; gives its path. */
export async function layFile({ folder, editor }: Bench, name: string, text: string): Promise<string> {
  const path = join(folder, name);
  writeFileSync(path, text);
  await editor.openFile(path);
  return path;
}

/** What the file in front reads once it is saved. */
export async function saved({ editor }: Bench, path: string): Promise<string> {
  await editor.save();
  // The editor empties a file before it writes it, and one that a change of names reached is written by itself.
  let text = '';
  await editor.until(`${path} stays empty`, async () => {
    const before = text;
    text = readFileSync(path, 'utf8');
    return text !== '' && text === before;
  });
  return text;
}

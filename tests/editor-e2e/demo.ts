import { cpSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from '../harness/tools';
import { freshFolder } from './server';

/** The demo board with the fault, as a bench would open it. */
export const boardName = 'handset-hollow.board.yaml';

/** A copy of the demo in a folder of its own, to be opened and changed. */
export function layDemo(): string {
  const folder = freshFolder('demo');
  cpSync(join(root, 'samples/tidemill'), folder, { recursive: true });
  return folder;
}

/** Writes the recordings of the faulty board anew, as the healthy or the hollow handset gives them. */
export function record(folder: string, handset: 'healthy' | 'hollow'): void {
  const source = join(root, 'samples/tidemill/captures');
  for (const name of readdirSync(source).filter((one) => one.startsWith(`${handset}-`)))
    cpSync(join(source, name), join(folder, 'captures', name.replace(handset, 'hollow')));
}

/** Line and column, from 1, of the place right behind a text of the board. */
export function behind(text: string): [line: number, column: number] {
  const before = readFileSync(join(root, 'samples/tidemill', boardName), 'utf8')
    .split(text)[0]!
    .split('\n');
  return [before.length, before.at(-1)!.length + text.length + 1];
}

import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { expect, test } from 'vitest';

/** Which room may import which; what is not listed is shut. The house of DEVELOPERS.md, held. */
const doors: Record<string, string[]> = {
  text: [],
  quantity: [],
  signal: [],
  dialect: ['text', 'quantity'],
  board: ['dialect', 'text', 'quantity'],
  circuit: ['quantity'],
  diagnosis: ['board', 'circuit', 'signal', 'dialect', 'text', 'quantity'],
  checks: ['board', 'circuit', 'signal', 'diagnosis', 'dialect', 'text', 'quantity'],
  drawing: ['board', 'circuit', 'signal', 'diagnosis', 'checks', 'dialect', 'text', 'quantity'],
  editor: ['board', 'circuit', 'signal', 'diagnosis', 'checks', 'drawing', 'dialect', 'text', 'quantity'],
  workspace: ['editor', 'board', 'circuit', 'signal', 'diagnosis', 'checks', 'drawing', 'dialect', 'text', 'quantity'],
};
const below = Object.keys(doors);
doors.lsp = [...below];
doors.cli = [...below];
/** Doors of one folder alone. */
const fromBoard = { folder: 'circuit/from-board/', opens: ['board', 'dialect', 'text'] };

const root = join(__dirname, '../..');
const source = join(root, 'server/src');

function files(folder: string): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    return statSync(path).isDirectory() ? files(path) : /\.tsx?$/.test(name) ? [path] : [];
  });
}

const imports = (path: string) =>
  [...readFileSync(path, 'utf8').matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((match) => match[1]!);
const short = (path: string) => relative(source, path).split(sep).join('/');

test('every import goes through a door that is open', () => {
  const wrong: string[] = [];
  for (const path of files(source)) {
    const name = short(path);
    const room = name.split('/')[0]!;
    if (room.startsWith('main-')) continue;
    for (const target of imports(path)) {
      if (!target.startsWith('.')) continue;
      const to = short(join(dirname(path), target)).split('/')[0]!;
      if (to === room || (to.startsWith('messages') && (room === 'lsp' || room === 'workspace'))) continue;
      if (room.startsWith('messages')) {
        wrong.push(`${name} imports ${target}`);
        continue;
      }
      const open = [...(doors[room] ?? []), ...(name.startsWith(fromBoard.folder) ? fromBoard.opens : [])];
      if (!open.includes(to)) wrong.push(`${name} imports ${target}`);
    }
  }
  expect(wrong).toEqual([]);
});

test('below the lines of lsp and cli nothing touches a disk, a clock, a process or a connection', () => {
  const wrong: string[] = [];
  for (const room of below) {
    for (const path of files(join(source, room))) {
      const text = readFileSync(path, 'utf8');
      for (const target of imports(path)) {
        if (/^node:|^(fs|path|os|worker_threads|child_process)$|^vscode(?!-languageserver-textdocument)/.test(target))
          wrong.push(`${short(path)} imports ${target}`);
      }
      if (/\bDate\.now\b|\bnew Date\(\)|\bperformance\.now\b|\bprocess\.|\bMath\.random\b/.test(text))
        wrong.push(`${short(path)} reads a clock, a process or chance`);
    }
  }
  expect(wrong).toEqual([]);
});

test('nothing imports a main, and the client knows the server by its messages alone', () => {
  const wrong: string[] = [];
  for (const path of [...files(source), ...files(join(root, 'client/src'))]) {
    for (const target of imports(path)) {
      if (/(^|\/)main-[a-z]+$/.test(target)) wrong.push(`${relative(root, path)} imports ${target}`);
      if (
        path.includes(`${sep}client${sep}`) &&
        target.includes('server/src') &&
        !target.endsWith('server/src/messages')
      )
        wrong.push(`${relative(root, path)} imports ${target}`);
    }
  }
  expect(wrong).toEqual([]);
});

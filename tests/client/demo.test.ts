import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, expect, test, vi } from 'vitest';

const editor = vi.hoisted(() => ({
  picked: undefined as { path: string }[] | undefined,
  written: new Map<string, string>(),
  read: [] as string[],
  failing: '',
  shown: [] as string[],
  told: [] as string[],
}));

vi.mock('vscode', () => ({
  Uri: { joinPath: (base: { path: string }, name: string) => ({ path: `${base.path}/${name}` }) },
  window: {
    showOpenDialog: async () => editor.picked,
    showTextDocument: async ({ path }: { path: string }) => void editor.shown.push(path),
    showErrorMessage: async (text: string) => void editor.told.push(text),
  },
  workspace: {
    workspaceFolders: undefined,
    fs: {
      stat: async ({ path }: { path: string }) => {
        if (!editor.written.has(path)) throw new Error('absent');
      },
      readFile: async ({ path }: { path: string }) => {
        editor.read.push(path);
        return `content of ${path}`;
      },
      writeFile: async ({ path }: { path: string }, content: string) => {
        if (editor.failing !== '' && path.endsWith(editor.failing)) throw new Error('the disk is full');
        editor.written.set(path, content);
      },
    },
  },
}));

const { openDemo } = await import('../../client/src/demo');
const extension = { path: '/ext' } as never;

beforeEach(() => {
  Object.assign(editor, { picked: [{ path: '/bench' }], read: [], failing: '', shown: [], told: [] });
  editor.written.clear();
});

test('every file of the demo is in the package, and the board is opened last', async () => {
  await openDemo(extension);
  for (const path of editor.read) expect(existsSync(join(__dirname, '../..', path.replace('/ext/', '')))).toBe(true);
  expect(editor.written.size).toBe(7);
  expect([...editor.written.keys()].at(-1)).toBe('/bench/tidemill/handset-hollow.board.yaml');
  expect(editor.shown).toEqual(['/bench/tidemill/handset-hollow.board.yaml']);
});

test('what is there already is left as it is', async () => {
  editor.written.set('/bench/tidemill/handset-hollow.board.yaml', 'mine');
  await openDemo(extension);
  expect(editor.written.get('/bench/tidemill/handset-hollow.board.yaml')).toBe('mine');
});

test('a copy that fails is told, and nothing is opened that is not there', async () => {
  editor.failing = '.wav';
  await openDemo(extension);
  expect(editor.told[0]).toMatch(/could not be copied to \/bench\/tidemill\. the disk is full/);
  expect(editor.shown).toEqual([]);
});

test('no folder, no demo', async () => {
  editor.picked = undefined;
  await openDemo(extension);
  expect(editor.written.size).toBe(0);
});

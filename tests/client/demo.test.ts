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
  asked: [] as string[],
  answer: undefined as string | undefined,
  /** Folders that are open. */
  folders: [] as string[],
  documents: [] as { uri: { path: string }; getText(): string }[],
  text: 'traces: [U1.AOUTL C9.+]',
  ran: [] as unknown[][],
}));

/** An open text with what is needed of it. */
const shown = (path: string) => ({
  selection: undefined as unknown,
  revealRange: () => {},
  document: { uri: { path }, getText: () => editor.text, positionAt: (offset: number) => offset },
});

vi.mock('vscode', () => ({
  Uri: {
    joinPath: (base: { path: string }, name: string) => {
      const path = `${base.path}/${name}`;
      return { path, fsPath: path, toString: () => path };
    },
    parse: (path: string) => ({ path }),
  },
  Selection: class {
    constructor(
      readonly anchor: number,
      readonly active: number,
    ) {}
  },
  commands: { executeCommand: async (...given: unknown[]) => void editor.ran.push(given) },
  window: {
    showOpenDialog: async () => editor.picked,
    showTextDocument: async (of: { path?: string; uri?: { path: string } }, { preview }: { preview: boolean }) => {
      const path = (of.path ?? of.uri?.path)!;
      editor.shown.push(preview ? `${path}, until the next` : path);
      return shown(path);
    },
    showInformationMessage: async (text: string, ...buttons: string[]) => {
      (buttons.length > 0 ? editor.asked : editor.told).push(text);
      return editor.answer;
    },
    showErrorMessage: async (text: string) => void editor.told.push(text),
  },
  workspace: {
    get workspaceFolders() {
      return editor.folders.length > 0 ? editor.folders.map((path) => ({ uri: { path } })) : undefined;
    },
    getWorkspaceFolder: ({ path }: { path: string }) => editor.folders.find((folder) => path.startsWith(folder)),
    get textDocuments() {
      return editor.documents;
    },
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

const { followSignal, openDemo, showAwaited } = await import('../../client/src/demo');
const kept = new Map<string, unknown>();
const globalState = {
  get: (key: string) => kept.get(key),
  update: async (key: string, to: unknown) => kept.set(key, to),
};
const context = { extensionUri: { path: '/ext' }, globalState } as never;
const board = '/bench/tidemill/handset-hollow.board.yaml';
/** All that is under way has come as far as it can. */
const turn = () => new Promise((resolve) => setImmediate(resolve));

beforeEach(() => {
  Object.assign(editor, { picked: [{ path: '/bench' }], read: [], failing: '', shown: [], told: [] });
  Object.assign(editor, { asked: [], answer: undefined, folders: [], documents: [], ran: [] });
  editor.text = 'traces: [U1.AOUTL C9.+]';
  kept.clear();
  editor.written.clear();
});

test('every file of the demo is in the package, and the board is opened last', async () => {
  await openDemo(context);
  for (const path of editor.read) expect(existsSync(join(__dirname, '../..', path.replace('/ext/', '')))).toBe(true);
  expect(editor.written.size).toBe(7);
  expect([...editor.written.keys()].at(-1)).toBe(board);
  expect(editor.shown).toEqual([board]);
});

test('what is there already is left as it is', async () => {
  editor.written.set(board, 'mine');
  await openDemo(context);
  expect(editor.written.get(board)).toBe('mine');
});

test('a copy that fails is told, and nothing is opened that is not there', async () => {
  editor.failing = '.wav';
  await openDemo(context);
  expect(editor.told[0]).toMatch(/could not be copied to \/bench\/tidemill\. the disk is full/);
  expect(editor.shown).toEqual([]);
});

test('no folder, no demo', async () => {
  editor.picked = undefined;
  await openDemo(context);
  expect(editor.written.size).toBe(0);
});

test('a folder that the Explorer does not show is offered, and only opened at a yes; its board is shown there', async () => {
  await openDemo(context);
  await turn();
  expect(editor.asked[0]).toContain('/bench/tidemill');
  expect(editor.ran).toEqual([]);
  editor.answer = 'Open its folder';
  await openDemo(context);
  await turn();
  const [command, folder, how] = editor.ran[0]!;
  expect([command, String(folder), how]).toEqual(['vscode.openFolder', '/bench/tidemill', { forceNewWindow: false }]);
  editor.shown = [];
  await showAwaited(context);
  expect(editor.shown).toEqual([]);
  editor.folders = ['/bench/tidemill'];
  await showAwaited(context);
  await showAwaited(context);
  expect(editor.shown).toEqual([board]);
});

test('a demo inside the open folder asks nothing', async () => {
  editor.folders = ['/bench'];
  await openDemo(context);
  await turn();
  expect(editor.asked).toEqual([]);
});

test('the signal is followed on the demo that is open, else on one that is laid first', async () => {
  await followSignal(context);
  expect(editor.written.size).toBe(7);
  const followed = [
    ['references-view.showOutgoingCalls'],
    ['references-view.showCallHierarchy'],
    ['setContext', 'buzzout.signalFollowed', true],
  ];
  expect(editor.ran).toEqual(followed);
  editor.documents = [shown('/elsewhere/handset-hollow.board.yaml').document];
  editor.shown = [];
  await followSignal(context);
  expect(editor.shown).toEqual(['/elsewhere/handset-hollow.board.yaml']);
  expect(editor.ran).toEqual([...followed, ...followed]);
});

test('without a demo, or the pin in it, nothing is followed and the step stays open', async () => {
  editor.picked = undefined;
  await followSignal(context);
  editor.picked = [{ path: '/bench' }];
  editor.text = 'board: mine now';
  await followSignal(context);
  expect(editor.told).toEqual(['Buzzout: this copy of the demo has no U1.AOUTL any more.']);
  expect(editor.ran).toEqual([]);
});

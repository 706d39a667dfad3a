import { beforeEach, expect, test, vi } from 'vitest';
import { checkBoard, listBoards } from '../../server/src/messages';

const editor = vi.hoisted(() => ({
  open: [] as string[],
  everything: false,
  found: new Map<string, unknown>(),
  progress: [] as string[],
  told: [] as string[],
  stop: { isCancellationRequested: false },
  opened: (_: { uri: string }) => {},
}));

vi.mock('vscode', () => ({
  ProgressLocation: { Notification: 15 },
  DiagnosticSeverity: { Error: 0, Warning: 1, Information: 2, Hint: 3 },
  StatusBarAlignment: { Right: 2 },
  commands: { executeCommand: async () => {} },
  languages: {
    createDiagnosticCollection: () => ({
      set: (uri: string, diagnostics: unknown) => editor.found.set(uri, diagnostics),
      delete: (uri: string) => editor.found.delete(uri),
      clear: () => editor.found.clear(),
      dispose() {},
    }),
  },
  window: {
    withProgress: (_: unknown, work: (progress: unknown, token: unknown) => unknown) =>
      work({ report: ({ message }: { message?: string }) => message && editor.progress.push(message) }, editor.stop),
    showInformationMessage: async (text: string) => void editor.told.push(text),
  },
  workspace: {
    get textDocuments() {
      return editor.open.map((uri) => ({ uri }));
    },
    onDidOpenTextDocument: (listener: typeof editor.opened) => {
      editor.opened = listener;
      return { dispose() {} };
    },
    getConfiguration: () => ({ get: () => editor.everything }),
  },
}));

const { CheckAll } = await import('../../client/src/check-all');

const boards: Record<string, number[]> = {
  'file:///w/a.board.yaml': [0, 1, 1],
  'file:///w/b.board.yaml': [],
  'file:///w/c%20d.board.yaml': [2],
};

const client = (after = () => {}) =>
  new CheckAll(
    () =>
      ({
        isRunning: () => true,
        protocol2CodeConverter: { asUri: (uri: string) => uri, asDiagnostics: async (all: unknown) => all },
        sendRequest: async (method: string, { uri }: { uri: string }) => {
          if (method === listBoards) return { uris: Object.keys(boards) };
          expect(method).toBe(checkBoard);
          if (editor.stop.isCancellationRequested) throw new Error('called off');
          after();
          return { diagnostics: boards[uri]!.map((severity) => ({ severity })) };
        },
      }) as never,
  );

beforeEach(() => {
  editor.found.clear();
  Object.assign(editor, { open: [], everything: false, progress: [], told: [] });
  editor.stop.isCancellationRequested = false;
});

test('every board is checked in turn, its findings laid out and counted', async () => {
  await client().run();
  expect(editor.progress).toEqual(['1 of 3: a.board.yaml', '2 of 3: b.board.yaml', '3 of 3: c d.board.yaml']);
  expect([...editor.found.keys()]).toEqual(Object.keys(boards));
  expect(editor.told).toEqual(['Buzzout: 1 error, 2 warnings, 1 info on 3 boards.']);
});

test('what was found before a stop is kept, and what is missing is said', async () => {
  await client(() => {
    editor.stop.isCancellationRequested = true;
  }).run();
  expect([...editor.found.keys()]).toEqual(['file:///w/a.board.yaml']);
  expect(editor.told).toEqual(['Buzzout: 1 error, 2 warnings on 1 board; stopped before 2 more.']);
});

test('nothing stands twice: not of open boards, not where the server tells the whole workspace', async () => {
  editor.open = ['file:///w/a.board.yaml'];
  await client().run();
  expect(editor.found.has('file:///w/a.board.yaml')).toBe(false);
  editor.opened({ uri: 'file:///w/c%20d.board.yaml' });
  expect(editor.found.has('file:///w/c%20d.board.yaml')).toBe(false);
  editor.everything = true;
  await client().run();
  expect(editor.found.size).toBe(0);
});

test('a fault of the server is no stop', async () => {
  const failing = client(() => {
    throw new Error('the server has gone');
  });
  await expect(failing.run()).rejects.toThrow('the server has gone');
});

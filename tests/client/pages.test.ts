import { beforeEach, expect, test, vi } from 'vitest';
import type { PageParams } from '../../server/src/messages';

const editor = vi.hoisted(() => ({
  documents: [] as { uri: unknown }[],
  ran: [] as unknown[][],
  shown: [] as string[],
  picked: undefined as string | undefined,
  preview: true,
  columns: [] as { viewColumn: number; tabs: { input: unknown }[] }[],
}));

vi.mock('vscode', () => {
  class Uri {
    constructor(
      readonly scheme: string,
      readonly path: string,
      readonly query = '',
    ) {}
    static from({ scheme, path, query }: { scheme: string; path: string; query?: string }) {
      return new Uri(scheme, path, query);
    }
    toString() {
      return `${this.scheme}:${this.path}?${this.query}`;
    }
  }
  class EventEmitter {
    private readonly listeners: ((event: unknown) => void)[] = [];
    readonly event = (listener: (event: unknown) => void) => this.listeners.push(listener);
    fire(event: unknown) {
      for (const listener of this.listeners) listener(event);
    }
    dispose() {}
  }
  class CancellationTokenSource {
    readonly token = { isCancellationRequested: false };
    cancel() {
      this.token.isCancellationRequested = true;
    }
    dispose() {}
  }
  return {
    Uri,
    EventEmitter,
    CancellationTokenSource,
    ProgressLocation: { Notification: 15 },
    ViewColumn: { Beside: -2 },
    commands: {
      executeCommand: async (...given: unknown[]) => {
        if (!editor.preview) throw new Error('no such command');
        editor.ran.push(given);
      },
    },
    window: {
      get tabGroups() {
        return { all: editor.columns };
      },
      withProgress: (_: unknown, work: (progress: unknown, token: unknown) => unknown) =>
        work({}, { isCancellationRequested: false }),
      showInformationMessage: async (text: string) => void editor.shown.push(text),
      showErrorMessage: async (text: string) => void editor.shown.push(text),
      showTextDocument: async (uri: unknown, how: unknown) => void editor.ran.push(['text', uri, how]),
      showQuickPick: async () => editor.picked,
    },
    workspace: {
      registerTextDocumentContentProvider: () => ({ dispose() {} }),
      onDidCloseTextDocument: () => ({ dispose() {} }),
      get textDocuments() {
        return editor.documents;
      },
    },
  };
});

const { Pages } = await import('../../client/src/pages');
const board = 'file:///b/a.board.yaml';

/** A client whose answers the test gives, one by one. */
function asked(front?: string) {
  const waiting: {
    params: PageParams;
    token: { isCancellationRequested: boolean };
    answer: (text: string | null) => void;
  }[] = [];
  let names: string[] = ['one', 'two'];
  const client = {
    isRunning: () => true,
    code2ProtocolConverter: { asUri: String },
    sendRequest: (method: string, params: PageParams, token: { isCancellationRequested: boolean }) =>
      method.endsWith('names')
        ? Promise.resolve({ names })
        : new Promise((resolve) => {
            const answer = (markdown: string | null) => resolve(markdown === null ? null : { markdown });
            waiting.push({ params, token, answer });
          }),
  };
  const pages = new Pages(
    () => client as never,
    () => front as never,
  );
  return { waiting, pages, name: (...given: string[]) => (names = given) };
}

/** All that is under way has come as far as it can. */
const turn = () => new Promise((resolve) => setImmediate(resolve));

beforeEach(() => {
  Object.assign(editor, { documents: [], ran: [], shown: [], picked: undefined, preview: true, columns: [] });
});

test('a page is asked for, kept, and shown beside as Markdown', async () => {
  const { waiting, pages } = asked();
  const showing = pages.show('measure', board, 'tone-left');
  expect(waiting[0]!.params).toEqual({ uri: board, kind: 'measure', capture: 'tone-left' });
  waiting[0]!.answer('# figures');
  await showing;
  const [[command, uri, viewer, how]] = editor.ran as [[string, never, string, unknown]];
  expect([command, viewer]).toEqual(['vscode.openWith', 'vscode.markdown.preview.editor']);
  expect(how).toMatchObject({ viewColumn: -2 });
  expect((uri as { path: string }).path).toBe('/Measured tone-left.md');
  expect(await pages.provideTextDocumentContent(uri)).toBe('# figures');
  expect(waiting).toHaveLength(1);
});

test('a second page comes where the first stands, wherever it is asked for', async () => {
  const { waiting, pages } = asked(board);
  const first = pages.show('copper-map');
  expect(waiting[0]!.params.uri).toBe(board);
  waiting[0]!.answer('# copper');
  await first;
  const text = { input: { uri: { scheme: 'file' } } };
  editor.columns = [
    { viewColumn: 1, tabs: [text, { input: undefined }] },
    { viewColumn: 2, tabs: [text, { input: { uri: editor.ran[0]![1] } }] },
    { viewColumn: 3, tabs: [text] },
  ];
  const second = pages.show('diagnose');
  waiting[1]!.answer('# diagnosis');
  await second;
  expect(editor.ran[1]![3]).toMatchObject({ viewColumn: 2 });
});

test('an editor without a preview shows the text', async () => {
  editor.preview = false;
  const { waiting, pages } = asked();
  const showing = pages.show('copper-map', board);
  waiting[0]!.answer('# copper');
  await showing;
  expect(editor.ran[0]![0]).toBe('text');
  expect(editor.ran[0]![2]).toMatchObject({ viewColumn: -2 });
});

test('new findings renew the pages of that board; an answer that a later one overtakes is dropped', async () => {
  const { waiting, pages } = asked();
  const showing = pages.show('diagnose', board);
  waiting[0]!.answer('old');
  await showing;
  const uri = editor.ran[0]![1] as never;
  editor.documents = [{ uri }];
  const told: unknown[] = [];
  pages.onDidChange((changed) => told.push(changed));
  pages.heard('file:///b/other.board.yaml' as never);
  expect(waiting).toHaveLength(1);
  pages.heard(board as never);
  pages.heard(board as never);
  expect(waiting.map(({ token }) => token.isCancellationRequested)).toEqual([false, true, false]);
  waiting[2]!.answer('new');
  await turn();
  waiting[1]!.answer('late');
  await turn();
  expect(await pages.provideTextDocumentContent(uri)).toBe('new');
  expect(told).toEqual([uri]);
});

test('without any board open, or a recording on it, that is said', async () => {
  const { waiting, pages, name } = asked();
  await pages.show('diagnose');
  expect(editor.shown).toEqual(['Buzzout: open a board first.']);
  name();
  await pages.show('measure', board);
  expect(editor.shown[1]).toContain('names no recording');
  expect(waiting).toEqual([]);
});

test('of several recordings the user picks one', async () => {
  const { waiting, pages } = asked();
  await pages.show('measure', board);
  expect(waiting).toEqual([]);
  editor.picked = 'two';
  void pages.show('measure', board);
  await turn();
  expect(waiting[0]!.params.capture).toBe('two');
});

import { beforeEach, expect, test, vi } from 'vitest';

type Document = { uri: string; languageId: string };
type Editor = { document: Document } | undefined;

const editor = vi.hoisted(() => ({
  documents: [] as Document[],
  seen: [] as Editor[],
  turned: (_to: Editor) => {},
}));

vi.mock('vscode', () => ({
  window: {
    activeTextEditor: undefined,
    get visibleTextEditors() {
      return editor.seen;
    },
    onDidChangeActiveTextEditor: (listener: (to: Editor) => void) => {
      editor.turned = listener;
      return { dispose() {} };
    },
  },
  workspace: {
    get textDocuments() {
      return editor.documents;
    },
  },
}));

const { BoardInFront } = await import('../../client/src/board-in-front');
const [first, second] = ['a', 'b'].map((uri) => ({ uri, languageId: 'buzzout-board' })) as [Document, Document];
const notes = { uri: 'notes', languageId: 'plaintext' };

beforeEach(() => {
  editor.documents = [notes, first, second];
  editor.seen = [];
});

test('the board last in front is meant while something else is', () => {
  const front = new BoardInFront();
  editor.turned({ document: second });
  editor.turned({ document: notes });
  editor.turned(undefined);
  expect(front.uri()).toBe('b');
});

test('once it is closed, or before any was in front, one that is seen, else any that is open', () => {
  const front = new BoardInFront();
  expect(front.uri()).toBe('a');
  editor.turned({ document: first });
  editor.documents = [notes, second];
  expect(front.uri()).toBe('b');
  editor.documents = [notes, first, second];
  editor.seen = [{ document: notes }, { document: second }];
  expect(new BoardInFront().uri()).toBe('b');
  editor.documents = [notes];
  editor.seen = [];
  expect(front.uri()).toBeUndefined();
});

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import {
  CallHierarchyIncomingCallsRequest,
  CallHierarchyOutgoingCallsRequest,
  CallHierarchyPrepareRequest,
  type CodeAction,
  CodeActionRequest,
  CodeLensRequest,
  type CompletionItem,
  CompletionRequest,
  CompletionResolveRequest,
  DidChangeWatchedFilesNotification,
  DocumentFormattingRequest,
  DocumentHighlightRequest,
  DocumentLinkRequest,
  DocumentSymbolRequest,
  FileChangeType,
  FoldingRangeRequest,
  InlayHintRequest,
  type Position,
  PrepareRenameRequest,
  ReferencesRequest,
  RenameRequest,
  SelectionRangeRequest,
  SemanticTokensRequest,
  SignatureHelpRequest,
  WorkspaceSymbolRequest,
} from 'vscode-languageserver-protocol/node';
import { Client } from '../harness/lsp';
import { sine, writeWav } from '../harness/wav';

// Each answer as a client gets it over stdio; what is in it, the editor room's own tests hold.

const folder = mkdtempSync(join(tmpdir(), 'buzzout-repertoire-'));
const uri = pathToFileURL(join(folder, 'a.board.yaml')).href;
const text = `# by hand
board: One way out
parts:
  U1: {marking: XQ 7, pins: {1: VDD,2: GND, 3: OUTL}}
  C1: 22 uF 6.3 V
  R1: 100
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
    - U1.OUTL C1.+
    - C1.- R1.1
    - R1.2 J1.tip OUT_L
    - U1.GND J1.sleeve GND
nets:
  GND: {role: ground}
  OUT_L: {role: audio-out, channel: left}
captures:
  tone-left:
    file: tone.wav
    stimulus: {tone: 997 Hz, side: left}
    channels: {1: OUT_L}
`;
const textDocument = { uri };
let client: Client;

/** The place a number of characters into the first occurrence of a text. */
function at(words: string, into = 0): Position {
  const before = text.slice(0, text.indexOf(words) + into).split('\n');
  return { line: before.length - 1, character: before.at(-1)!.length };
}
const whole = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };

beforeAll(async () => {
  writeWav(join(folder, 'tone.wav'), [sine(997, 0.25)]);
  client = await Client.start(folder, {
    capabilities: {
      workspace: { workspaceEdit: { documentChanges: true, resourceOperations: ['create', 'rename', 'delete'] } },
    },
  });
  await client.open(uri, text);
});
afterAll(async () => {
  await client.stop();
  rmSync(folder, { recursive: true, force: true });
});
const ask = ((...given: [never, never]) =>
  client.connection.sendRequest(...given)) as Client['connection']['sendRequest'];

test('a signal is followed onward and back, a part at a time', async () => {
  const [start] = (await ask(CallHierarchyPrepareRequest.type, { textDocument, position: at('U1.OUTL', 4) }))!;
  const onward = (await ask(CallHierarchyOutgoingCallsRequest.type, { item: start! }))!;
  expect(onward.map(({ to }) => to.detail)).toEqual([expect.stringContaining('through C1')]);
  expect(onward[0]!.fromRanges[0]!.start).toEqual(at('C1: 22'));
  const last = (await ask(CallHierarchyOutgoingCallsRequest.type, { item: onward[0]!.to }))!;
  expect(last[0]!.to.name).toContain('J1');
  const back = (await ask(CallHierarchyIncomingCallsRequest.type, { item: last[0]!.to }))!;
  expect(back.map(({ from }) => from.detail)).toEqual([expect.stringContaining('through R1')]);
});

test('lines above the title and the recordings tell what is known; a client without our commands gets none to run', async () => {
  const lenses = (await ask(CodeLensRequest.type, { textDocument }))!;
  expect(lenses.map((lens) => lens.range.start.line)).toContain(at('tone-left').line);
  expect(lenses.every((lens) => lens.command?.command === '')).toBe(true);
  const able = await Client.start(folder, { options: { commands: ['buzzout.diagnose'] } });
  try {
    await able.open(uri, text);
    const offered = (await able.connection.sendRequest(CodeLensRequest.type, { textDocument }))!;
    const diagnose = offered.find((lens) => lens.command?.command === 'buzzout.diagnose');
    expect(diagnose?.command?.arguments?.[0]).toBe(uri);
  } finally {
    await able.stop();
  }
});

test('the forms of a quantity are shown while it is typed', async () => {
  const help = await ask(SignatureHelpRequest.type, { textDocument, position: at('10 k', 4) });
  expect(help?.signatures[0]?.label).toContain('load');
});

test('the formatter changes blanks alone', async () => {
  const edits = (await ask(DocumentFormattingRequest.type, {
    textDocument,
    options: { tabSize: 2, insertSpaces: true },
  }))!;
  expect(edits).toHaveLength(1);
  expect(edits[0]!.range.start).toEqual(at(',2: GND'));
  expect(edits[0]!.newText).toBe(', ');
});

test('pins are taken out to a file that the edit makes', async () => {
  const position = at('VDD');
  const actionsOf = (only: string) =>
    ask(CodeActionRequest.type, {
      textDocument,
      range: { start: position, end: position },
      context: { diagnostics: [], only: [only] },
    });
  const actions = (await actionsOf('refactor')) as CodeAction[];
  const extract = actions.find((action) => action.title.includes('.pinout.yaml'))!;
  const [create, ...edits] = extract.edit!.documentChanges!;
  expect(create).toMatchObject({ kind: 'create', uri: expect.stringMatching(/\.pinout\.yaml$/) });
  expect(edits).toHaveLength(2);
  expect(extract.kind).toBe('refactor.extract');
  expect(await actionsOf('refactor.extract')).toEqual([extract]);
  expect(await actionsOf('refactor.move')).toEqual([]);
  expect(await actionsOf('quickfix')).toEqual([]);
});

test('a recording that nothing uses yet has its length and rate when it is looked at, unmeasured', async () => {
  writeWav(join(folder, 'unused.wav'), [sine(997, 0.25)]);
  writeFileSync(join(folder, 'unused.csv'), 'time,CH1\ns,V\n0,0\n0.5,1\n1,0\n1.5,1\n');
  writeFileSync(join(folder, 'broken.wav'), 'no recording');
  await client.connection.sendNotification(DidChangeWatchedFilesNotification.type, {
    changes: [{ uri: pathToFileURL(join(folder, 'unused.wav')).href, type: FileChangeType.Created }],
  });
  const items = (await ask(CompletionRequest.type, {
    textDocument,
    position: at('file: tone', 6),
  })) as CompletionItem[];
  const detail = async (label: string) => {
    const item = items.find((one) => one.label === label)!;
    expect(item.detail).toBeUndefined();
    return (await ask(CompletionResolveRequest.type, item)).detail;
  };
  expect(await detail('unused.wav')).toBe('0.5 s, 48000 Hz');
  expect(await detail('unused.csv')).toBe('2.0 s, 2 Hz');
  expect(await detail('broken.wav')).toBeUndefined();
});

test('the kinds of actions are announced', () => {
  expect(client.initialized?.capabilities.codeActionProvider).toEqual({
    codeActionKinds: ['quickfix', 'refactor.move', 'refactor.rewrite', 'refactor.extract', 'source.fixAll'],
  });
});

test('only what a client says it can register is registered', async () => {
  const watched = 'workspace/didChangeWatchedFiles';
  const settings = 'workspace/didChangeConfiguration';
  // The harness's client says so of watched files.
  for (const [workspace, methods] of [
    [{ configuration: true }, [watched]],
    [{ configuration: true, didChangeConfiguration: { dynamicRegistration: true } }, [settings, watched]],
    [{ configuration: true, didChangeWatchedFiles: {} }, []],
  ] as const) {
    const other = await Client.start(folder, { capabilities: { workspace }, settings: {} });
    try {
      // Answered after what the server asks for as soon as it is initialized.
      await other.connection.sendRequest(WorkspaceSymbolRequest.type, { query: '' });
      expect(other.registered.toSorted()).toEqual(methods);
    } finally {
      await other.stop();
    }
  }
});

test('every other question has an answer', async () => {
  const position = at('OUT_L', 2);
  const answers = {
    references: await ask(ReferencesRequest.type, { textDocument, position, context: { includeDeclaration: true } }),
    highlights: await ask(DocumentHighlightRequest.type, { textDocument, position }),
    symbols: await ask(DocumentSymbolRequest.type, { textDocument }),
    everywhere: await ask(WorkspaceSymbolRequest.type, { query: 'out_l' }),
    folds: await ask(FoldingRangeRequest.type, { textDocument }),
    selections: await ask(SelectionRangeRequest.type, { textDocument, positions: [position] }),
    links: await ask(DocumentLinkRequest.type, { textDocument }),
    hints: await ask(InlayHintRequest.type, { textDocument, range: whole }),
  };
  for (const [question, answer] of Object.entries(answers)) expect(answer?.length, question).toBeGreaterThan(0);
  expect((await ask(SemanticTokensRequest.type, { textDocument }))!.data.length % 5).toBe(0);
  expect(await ask(PrepareRenameRequest.type, { textDocument, position })).toMatchObject({ placeholder: 'OUT_L' });
  const renamed = await ask(RenameRequest.type, { textDocument, position, newName: 'LINE_L' });
  expect(renamed!.changes![uri]).toHaveLength(3);
});

test('a name that cannot be is refused in words', async () => {
  await expect(ask(RenameRequest.type, { textDocument, position: at('OUT_L', 2), newName: 'GND' })).rejects.toThrow(
    /GND/,
  );
});

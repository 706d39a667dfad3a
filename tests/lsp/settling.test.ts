import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import {
  CancellationTokenSource,
  CodeLensRefreshRequest,
  DidChangeWorkspaceFoldersNotification,
  DocumentDiagnosticRequest,
  InlayHintRefreshRequest,
  LSPErrorCodes,
  SemanticTokensRefreshRequest,
} from 'vscode-languageserver-protocol/node';
import * as messages from '../../server/src/messages';
import { Client } from '../harness/lsp';
import { sine, writeWav } from '../harness/wav';

const folder = mkdtempSync(join(tmpdir(), 'buzzout-settling-'));
const second = mkdtempSync(join(tmpdir(), 'buzzout-settling-'));
const uri = (name: string, top = folder) => pathToFileURL(join(top, name)).href;
const board = `board: b
nets:
  OUT_L: {role: audio-out, channel: left}
captures:
  left: {file: tone.wav, stimulus: {tone: 997 Hz, side: left}, channels: {1: OUT_L}}
`;
const asked = { hints: 0, tokens: 0, lenses: 0 };
let client: Client;

beforeAll(async () => {
  writeWav(join(folder, 'tone.wav'), [sine(997, 0.25)]);
  writeFileSync(join(folder, 'closed.board.yaml'), 'board: closed\nparts: {R4: 4 volt}\n');
  writeFileSync(join(second, 'xq5.pinout.yaml'), 'pinout: xq5\npins: {1: VDD, 2: GND, 3: OUTL}\n');
  client = await Client.start(folder, {
    more: [second],
    capabilities: {
      textDocument: { diagnostic: {} },
      workspace: {
        workspaceFolders: true,
        diagnostics: { refreshSupport: true },
        inlayHint: { refreshSupport: true },
        semanticTokens: { refreshSupport: true },
        codeLens: { refreshSupport: true },
      },
    },
  });
  const count = (what: keyof typeof asked) => () => {
    asked[what]++;
    client.heard();
  };
  client.connection.onRequest(InlayHintRefreshRequest.type, count('hints'));
  client.connection.onRequest(SemanticTokensRefreshRequest.type, count('tokens'));
  client.connection.onRequest(CodeLensRefreshRequest.type, count('lenses'));
});
afterAll(async () => {
  await client.stop();
  for (const one of [folder, second]) rmSync(one, { recursive: true, force: true });
});

const pull = (name: string) =>
  client.connection.sendRequest(DocumentDiagnosticRequest.type, { textDocument: { uri: uri(name) } });
const codes = async (name: string) => {
  const report = await pull(name);
  return report.kind === 'full' ? report.items.map((item) => item.code) : [];
};

test('once recordings are measured, what stands among the words is asked for again', async () => {
  await client.open(uri('a.board.yaml'), board);
  await client.until(() => asked.hints > 0 && asked.tokens > 0 && asked.lenses > 0, 'wish to be asked again');
});

test('typing brings no such wish: the client asks by itself', async () => {
  const before = { ...asked };
  await client.open(uri('plain.pinout.yaml'), 'pinout: p\npins: {1: VDD}\n', 'buzzout-pinout');
  await client.change(uri('plain.pinout.yaml'), 2, 'pinout: p\npins: {1: VDD, 2: GND}\n');
  expect(await codes('plain.pinout.yaml')).toEqual([]);
  await client.close(uri('a.board.yaml'));
  await client.change(uri('plain.pinout.yaml'), 3, 'pinout: p\npins: {1: VDD, 2: GND, 3: X}\n');
  await new Promise((done) => setTimeout(done, 300));
  // The board that was open reads the pinout, and may have been looked at once more before it was closed.
  expect(asked.hints - before.hints).toBeLessThanOrEqual(1);
});

test('a question that is called off is not answered, and the next one is', async () => {
  await client.open(uri('c.board.yaml'), 'board: c\nparts: {R4: 4 volt}\n');
  const off = new CancellationTokenSource();
  const answer = client.connection.sendRequest(
    DocumentDiagnosticRequest.type,
    { textDocument: { uri: uri('c.board.yaml') } },
    off.token,
  );
  off.cancel();
  await expect(answer).rejects.toMatchObject({ code: LSPErrorCodes.RequestCancelled });
  expect(await codes('c.board.yaml')).toEqual(['wrong-unit']);
});

test('of many texts typed in one breath the last is answered for', async () => {
  const text = (value: string) => `board: c\nparts: {R4: ${value}}\n`;
  const answers: Promise<(string | number | undefined)[]>[] = [];
  for (const [index, value] of ['4 v', '4 vo', '4 volt', '4', '4k', '4k7'].entries()) {
    await client.change(uri('c.board.yaml'), index + 2, text(value));
    answers.push(codes('c.board.yaml'));
  }
  expect(await answers.at(-1)).toEqual([]);
});

test('a folder taken out of the workspace takes its pinouts with it', async () => {
  await client.open(uri('d.board.yaml'), 'board: d\nparts: {U1: {pinout: xq5}}\ntraces: {buzzed: [U1.OUTL X]}\n');
  expect(await codes('d.board.yaml')).toEqual([]);
  await client.connection.sendNotification(DidChangeWorkspaceFoldersNotification.type, {
    event: { added: [], removed: [{ uri: uri('', second).replace(/\/$/, ''), name: 'bench' }] },
  });
  expect(await codes('d.board.yaml')).toContain('unknown-reference');
  await client.connection.sendNotification(DidChangeWorkspaceFoldersNotification.type, {
    event: { added: [{ uri: uri('', second).replace(/\/$/, ''), name: 'bench' }], removed: [] },
  });
  expect(await codes('d.board.yaml')).toEqual([]);
});

test('new files and entries for recordings come from the server', async () => {
  const made: messages.NewFileResult = await client.connection.sendRequest(messages.newFile, {
    kind: 'board',
    name: 'radio',
  });
  expect(made.snippet).toContain(`board: $\{1:radio}`);
  await client.open(uri('e.board.yaml'), 'board: e\n');
  const laid: messages.NewCapturesResult = await client.connection.sendRequest(messages.newCaptures, {
    uri: uri('e.board.yaml'),
    paths: ['takes/left.wav'],
  });
  expect(laid.edits).toEqual([{ line: 1, character: 0, text: '\ncaptures:\n  left:\n    file: takes/left.wav\n' }]);
});

test('a client that is told hears nothing of files that are not open', async () => {
  const told = await Client.start(folder);
  try {
    await told.open(uri('f.board.yaml'), 'board: f\nparts: {R4: 4 volt}\n');
    await told.diagnostics(uri('f.board.yaml'), (set) => set.length > 0);
    await new Promise((done) => setTimeout(done, 300));
    expect([...new Set(told.published.map((set) => set.uri))]).toEqual([uri('f.board.yaml')]);
  } finally {
    await told.stop();
  }
});

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import {
  DidChangeWatchedFilesNotification,
  type DocumentDiagnosticReport,
  DocumentDiagnosticRequest,
  FileChangeType,
  type WorkspaceDiagnosticReport,
  WorkspaceDiagnosticRequest,
} from 'vscode-languageserver-protocol/node';
import { Client } from '../harness/lsp';
import { sine, writeWav } from '../harness/wav';

const pulls = {
  textDocument: { diagnostic: {} },
  workspace: { diagnostics: { refreshSupport: true } },
};
const folder = mkdtempSync(join(tmpdir(), 'buzzout-pull-'));
const second = mkdtempSync(join(tmpdir(), 'buzzout-pull-'));
const uri = (name: string, top = folder) => pathToFileURL(join(top, name)).href;
const board = `board: Two contacts and a recorder
parts:
  J2: jack-trs
traces:
  buzzed:
    - J2.tip OUT_L
    - J2.ring OUT_R
nets:
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
captures:
  tone-both:
    file: tone.wav
    stimulus: {tone: 997 Hz, side: both}
    channels: {1: OUT_L, 2: OUT_R}
`;
let client: Client;

beforeAll(async () => {
  writeWav(join(folder, 'tone.wav'), [sine(997, 0.25), sine(997, 0.25, 180)]);
  writeFileSync(join(second, 'far.board.yaml'), 'board: far\ncautions: [lithium-sell]\n');
  mkdirSync(join(folder, 'inner'));
  writeFileSync(join(folder, 'inner/near.board.yaml'), 'board: near\nparts: {R4: 4 volt}\n');
  client = await Client.start(folder, { capabilities: pulls, more: [second] });
});
afterAll(async () => {
  await client.stop();
  rmSync(folder, { recursive: true, force: true });
  rmSync(second, { recursive: true, force: true });
});

const pull = (name: string, previousResultId?: string): Promise<DocumentDiagnosticReport> =>
  client.connection.sendRequest(DocumentDiagnosticRequest.type, {
    textDocument: { uri: uri(name) },
    ...(previousResultId !== undefined && { previousResultId }),
  });
const codes = (report: DocumentDiagnosticReport) =>
  report.kind === 'full' ? report.items.map((item) => item.code) : report.kind;

/** Asks as clients do: again whenever the server wants to be asked. */
async function settled(name: string, fits: (report: DocumentDiagnosticReport) => boolean) {
  for (;;) {
    const before = client.refreshes;
    const report = await pull(name);
    if (fits(report)) return report;
    await client.until(() => client.refreshes > before, 'wish to be asked again');
  }
}

test('a client that asks is answered and not told; measured findings come by asking again', async () => {
  expect(client.initialized?.capabilities.diagnosticProvider).toMatchObject({ workspaceDiagnostics: true });
  await client.open(uri('a.board.yaml'), board);
  const report = await settled('a.board.yaml', (one) => one.kind === 'full' && one.items.length > 0);
  expect(codes(report)).toEqual(['channels-antiphase']);
  expect(client.published).toEqual([]);
});

test('the same findings keep their id, and are not sent twice', async () => {
  const first = await pull('a.board.yaml');
  expect(await pull('a.board.yaml', first.resultId)).toEqual({ kind: 'unchanged', resultId: first.resultId });
  // A comment at the end moves nothing.
  await client.change(uri('a.board.yaml'), 2, `${board}# seen on the bench\n`);
  expect((await pull('a.board.yaml', first.resultId)).kind).toBe('unchanged');
  await client.change(uri('a.board.yaml'), 3, `# seen on the bench\n${board}`);
  const moved = await pull('a.board.yaml', first.resultId);
  expect(codes(moved)).toEqual(['channels-antiphase']);
  expect(moved.resultId).not.toBe(first.resultId);
});

test('nothing is answered empty while a changed recording is measured', async () => {
  const before = await pull('a.board.yaml');
  writeWav(join(folder, 'tone.wav'), [sine(997, 0.25), sine(997, 0.25)], 0.6);
  await client.connection.sendNotification(DidChangeWatchedFilesNotification.type, {
    changes: [{ uri: uri('tone.wav'), type: FileChangeType.Changed }],
  });
  const seen: unknown[] = [];
  await settled('a.board.yaml', (report) => {
    seen.push(codes(report));
    return report.kind === 'full' && report.items.length === 0;
  });
  expect(codes(before)).toEqual(['channels-antiphase']);
  for (const one of seen.slice(0, -1)) expect(one).toEqual(['channels-antiphase']);
});

test('a file that is not open is answered when it is asked for', async () => {
  expect(codes(await pull('inner/near.board.yaml'))).toEqual(['wrong-unit']);
  const unknown = await pull('notes.txt');
  expect(unknown).toEqual({ kind: 'full', items: [] });
});

test('the whole workspace, each of its folders, is answered when it is asked for, and changes alone the next time', async () => {
  const ask = (previous: WorkspaceDiagnosticReport | undefined) =>
    client.connection.sendRequest(WorkspaceDiagnosticRequest.type, {
      previousResultIds: (previous?.items ?? []).map((item) => ({ uri: item.uri, value: item.resultId! })),
    });
  const first = await ask(undefined);
  const found = new Map(first.items.map((item) => [item.uri, codes(item)]));
  expect(found.get(uri('far.board.yaml', second))).toEqual(['unknown-reference']);
  expect(found.get(uri('inner/near.board.yaml'))).toEqual(['wrong-unit']);
  writeFileSync(join(folder, 'inner/near.board.yaml'), 'board: near\nparts: {R4: 4k7}\n');
  rmSync(join(second, 'far.board.yaml'));
  await client.connection.sendNotification(DidChangeWatchedFilesNotification.type, {
    changes: [
      { uri: uri('inner/near.board.yaml'), type: FileChangeType.Changed },
      { uri: uri('far.board.yaml', second), type: FileChangeType.Deleted },
    ],
  });
  const next = new Map((await ask(first)).items.map((item) => [item.uri, codes(item)]));
  expect(next.get(uri('inner/near.board.yaml'))).toEqual([]);
  expect(next.get(uri('far.board.yaml', second))).toEqual([]);
  expect(next.get(uri('a.board.yaml'))).toBe('unchanged');
});

/** Whether a long question about the workspace is answered within some time, and what parts came before. */
async function longQuestion(settings: object, milliseconds: number) {
  const one = await Client.start(folder, { capabilities: pulls, settings });
  let answered = false;
  const parts: string[] = [];
  one.connection.onProgress(WorkspaceDiagnosticRequest.partialResult, 'parts', ({ items }) => {
    parts.push(...items.map((item) => item.uri));
    one.heard();
  });
  // The server has read its settings once it answers for a file.
  await one.connection.sendRequest(DocumentDiagnosticRequest.type, { textDocument: { uri: uri('a.board.yaml') } });
  void one.connection
    .sendRequest(WorkspaceDiagnosticRequest.type, { previousResultIds: [], partialResultToken: 'parts' })
    .then(() => {
      answered = true;
      one.heard();
    })
    // Left open until the end.
    .catch(() => {});
  let timer: NodeJS.Timeout | undefined;
  await Promise.race([
    one.until(() => answered, 'answer').catch(() => {}),
    new Promise((done) => {
      timer = setTimeout(done, milliseconds);
    }),
  ]);
  clearTimeout(timer);
  await one.stop();
  return { answered, parts };
}

test('a client that takes parts gets them as they are made', async () => {
  const { answered, parts } = await longQuestion({ wholeWorkspace: true }, 120_000);
  expect(answered).toBe(true);
  expect(parts).toContain(uri('inner/near.board.yaml'));
});

test('with the setting off nothing is told of files that are not open, and the question stays open', async () => {
  expect(await longQuestion({ wholeWorkspace: false }, 800)).toEqual({ answered: false, parts: [] });
});

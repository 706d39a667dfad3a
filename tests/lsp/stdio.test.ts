import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import {
  CodeActionRequest,
  type CompletionItem,
  CompletionRequest,
  DidChangeWatchedFilesNotification,
  FileChangeType,
  HoverRequest,
} from 'vscode-languageserver-protocol/node';
import { Client } from '../harness/lsp';
import { sine, writeWav } from '../harness/wav';

const folder = mkdtempSync(join(tmpdir(), 'buzzout-lsp-'));
const uri = (name: string) => pathToFileURL(join(folder, name)).href;
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
  client = await Client.start(folder);
});
afterAll(async () => {
  await client.stop();
  rmSync(folder, { recursive: true, force: true });
});

test('a board is checked as it is opened, its recordings with it', async () => {
  await client.open(uri('a.board.yaml'), board);
  const found = await client.diagnostics(uri('a.board.yaml'), (set) => set.length > 0);
  expect(found.map((diagnostic) => diagnostic.code)).toEqual(['channels-antiphase']);
  expect(found[0]!.range.start.line).toBe(11);
  expect(found[0]!.source).toBe('buzzout');
  expect(found[0]!.relatedInformation?.map((place) => place.location.range.start.line)).toEqual([8, 9]);
});

test('editing keeps the measured finding and moves it; nothing is told empty in between', async () => {
  const from = client.published.length;
  const longer = board.replace('parts:', 'complaint: hollow\nparts:\n  R4: 4 volt');
  await client.change(uri('a.board.yaml'), 2, longer);
  const found = await client.diagnostics(uri('a.board.yaml'), (_, version) => version === 2, from);
  expect(found.map((diagnostic) => [diagnostic.code, diagnostic.range.start.line])).toEqual([
    ['wrong-unit', 3],
    ['channels-antiphase', 13],
  ]);
  expect(client.published.slice(from).every((set) => set.diagnostics.length > 0)).toBe(true);
});

test('a changed recording re-checks the board that uses it, and what it said stands until then', async () => {
  await client.change(uri('a.board.yaml'), 3, board);
  await client.diagnostics(uri('a.board.yaml'), (_, version) => version === 3);
  const from = client.published.length;
  writeWav(join(folder, 'tone.wav'), [sine(997, 0.25), sine(997, 0.25)], 0.6);
  await client.connection.sendNotification(DidChangeWatchedFilesNotification.type, {
    changes: [{ uri: uri('tone.wav'), type: FileChangeType.Changed }],
  });
  await client.diagnostics(uri('a.board.yaml'), (set) => set.length === 0, from);
});

test('a fix is offered where a name is off by a letter', async () => {
  const text = 'board: b\ncautions: [lithium-sell]\n';
  await client.open(uri('b.board.yaml'), text);
  const [diagnostic] = await client.diagnostics(uri('b.board.yaml'), (set) => set.length > 0);
  const actions = await client.connection.sendRequest(CodeActionRequest.type, {
    textDocument: { uri: uri('b.board.yaml') },
    range: diagnostic!.range,
    context: { diagnostics: [diagnostic!] },
  });
  expect(JSON.stringify(actions)).toContain('lithium-cell');
});

test('a pinout on the screen counts before the one on the disk', async () => {
  writeFileSync(join(folder, 'xq1.pinout.yaml'), 'pinout: xq1\npins: {1: VDD, 2: GND}\n');
  const text = 'board: b\nparts: {U1: {pinout: xq1}}\ntraces: {buzzed: [U1.OUTL X]}\n';
  await client.open(uri('c.board.yaml'), text);
  const before = await client.diagnostics(uri('c.board.yaml'), (set) => set.length > 0);
  expect(before.map((diagnostic) => diagnostic.code)).toEqual(['unknown-reference']);
  const from = client.published.length;
  await client.open(uri('xq1.pinout.yaml'), 'pinout: xq1\npins: {1: VDD, 2: GND, 3: OUTL}\n', 'buzzout-pinout');
  await client.diagnostics(uri('c.board.yaml'), (set) => set.length === 0, from);
});

test('hover tells a pin, completion offers pins on a line that does not parse yet', async () => {
  writeFileSync(join(folder, 'xq2.pinout.yaml'), 'pinout: xq2\npins: {1: VDD, 2: GND, 3: DACL}\n');
  const text = 'board: b\nparts:\n  U1: {pinout: xq2}\ntraces:\n  buzzed:\n    - U1.3 OUT\n    - U1.';
  await client.open(uri('d.board.yaml'), text);
  const told = await client.connection.sendRequest(HoverRequest.type, {
    textDocument: { uri: uri('d.board.yaml') },
    position: { line: 5, character: 7 },
  });
  expect(JSON.stringify(told)).toContain('DACL');
  const offered = (await client.connection.sendRequest(CompletionRequest.type, {
    textDocument: { uri: uri('d.board.yaml') },
    position: { line: 6, character: 9 },
  })) as CompletionItem[];
  expect(offered.map((item) => item.label)).toEqual(expect.arrayContaining(['U1.1', 'U1.2', 'U1.3']));
});

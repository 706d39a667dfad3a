import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import {
  CodeLensRequest,
  ExecuteCommandRequest,
  WorkDoneProgress,
  WorkDoneProgressCancelNotification,
  WorkDoneProgressCreateRequest,
} from 'vscode-languageserver-protocol/node';
import { Client } from '../harness/lsp';
import { sine, writeWav } from '../harness/wav';

const folder = mkdtempSync(join(tmpdir(), 'buzzout-progress-'));
const uri = pathToFileURL(join(folder, 'a.board.yaml')).href;
const board = `board: a long take
nets:
  OUT_L: {role: audio-out, channel: left}
captures:
  long:
    file: long.wav
    stimulus: {tone: 997 Hz, side: both}
    channels: {1: OUT_L}
`;
/** What the bars said, in order. */
const seen: string[] = [];
let cancels = true;
let client: Client;

beforeAll(async () => {
  // Some seconds of work on this class of machine, and far more than the second after which a bar is due.
  writeWav(join(folder, 'long.wav'), [sine(997, 0.25)], 600, 44100);
  client = await Client.start(folder, { capabilities: { window: { workDoneProgress: true } } });
  client.connection.onRequest(WorkDoneProgressCreateRequest.type, ({ token }) => {
    client.connection.onProgress(WorkDoneProgress.type, token, (value) => {
      seen.push(value.kind === 'begin' ? `begin ${value.title} ${value.message} ${value.cancellable}` : value.kind);
      if (value.kind === 'begin' && cancels)
        void client.connection.sendNotification(WorkDoneProgressCancelNotification.type, { token });
      client.heard();
    });
  });
});
afterAll(async () => {
  await client.stop();
  rmSync(folder, { recursive: true, force: true });
});

const lenses = async () =>
  (await client.connection.sendRequest(CodeLensRequest.type, { textDocument: { uri } }))!.map((lens) => lens.command!);

test('a long measurement shows how far it is, and stops when the user wants', async () => {
  await client.open(uri, board);
  await client.until(() => seen.at(-1) === 'end', 'end of the bar');
  expect(seen[0]).toBe('begin Measuring long.wav true');
  // What is known without the recording is told again once that is settled.
  await client.until(() => client.published.length > 1, 'second word');
  const stopped = (await lenses()).find(({ title }) => title.includes('stopped'));
  expect(stopped?.command).toBe('buzzout.measureAgain');
});

test('what was stopped is not begun again by typing, but by its own command', async () => {
  const bars = seen.filter((one) => one.startsWith('begin')).length;
  await client.change(uri, 2, `${board}# a remark\n`);
  await client.diagnostics(uri, (_, version) => version === 2);
  expect((await lenses()).some(({ title }) => title.includes('stopped'))).toBe(true);
  cancels = false;
  const from = client.published.length;
  seen.length = 0;
  await client.connection.sendRequest(ExecuteCommandRequest.type, { command: 'buzzout.measureAgain' });
  await client.until(() => seen.at(-1) === 'end', 'end of the second bar');
  expect(bars).toBe(1);
  expect(seen).toContain('report');
  await client.until(() => client.published.length > from, 'next word');
  // The figures follow the end of the bar by a turn or two.
  let titles = '';
  for (let tries = 0; tries < 1200 && !titles.includes('600'); tries++) {
    titles = (await lenses()).map(({ title }) => title).join('\n');
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  expect(titles).toContain('600');
});

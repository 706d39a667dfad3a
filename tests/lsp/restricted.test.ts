import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Client } from '../harness/lsp';
import { sine, writeWav } from '../harness/wav';

const top = mkdtempSync(join(tmpdir(), 'buzzout-trust-'));
const folder = join(top, 'bench');
const uri = pathToFileURL(join(folder, 'a.board.yaml')).href;
const text = `board: from a stranger
pinouts: [../sheets/xq9.pinout.yaml]
captures:
  inside: {file: tone.wav, stimulus: {tone: 997 Hz, side: both}, channels: {1: OUT_L, 2: OUT_R}}
  linked: {file: link.wav, stimulus: {tone: 997 Hz, side: both}, channels: {1: OUT_L, 2: OUT_R}}
  beyond: {file: linked/tone.wav, stimulus: {tone: 997 Hz, side: both}, channels: {1: OUT_L, 2: OUT_R}}
  outside: {file: ../tone.wav, stimulus: {tone: 997 Hz, side: both}, channels: {1: OUT_L, 2: OUT_R}}
nets:
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
`;

beforeAll(() => {
  mkdirSync(folder);
  mkdirSync(join(top, 'sheets'));
  writeFileSync(join(top, 'sheets/xq9.pinout.yaml'), 'pinout: xq9\npins: {1: VDD, 2: GND}\n');
  for (const path of [join(folder, 'tone.wav'), join(top, 'tone.wav')])
    writeWav(path, [sine(997, 0.25), sine(997, 0.25, 180)]);
  symlinkSync(join(top, 'tone.wav'), join(folder, 'link.wav'));
  symlinkSync(top, join(folder, 'linked'));
});
afterAll(() => rmSync(top, { recursive: true, force: true }));

/** Lines of the measured findings and of files not read, once recordings inside are measured. */
async function found(options: object, at = folder) {
  const client = await Client.start(at, { options });
  try {
    await client.open(uri, text);
    const all = await client.diagnostics(uri, (set) => set.some((one) => one.code === 'channels-antiphase'));
    return all
      .filter((one) => one.code === 'channels-antiphase' || one.code === 'file-unreadable')
      .map((one) => [one.range.start.line, one.code, one.message] as const);
  } finally {
    await client.stop();
  }
}

test('in a workspace that is not trusted nothing outside it is read, and that is said', async () => {
  const restricted = await found({ restricted: true });
  expect(restricted.map(([line, code]) => [line, code])).toEqual([
    [1, 'file-unreadable'],
    [3, 'channels-antiphase'],
    [4, 'file-unreadable'],
    [5, 'file-unreadable'],
    [6, 'file-unreadable'],
  ]);
  for (const [, code, message] of restricted) if (code === 'file-unreadable') expect(message).toContain('not trusted');
});

test('in a trusted one it is', async () => {
  expect((await found({})).filter(([, code]) => code === 'file-unreadable')).toEqual([]);
});

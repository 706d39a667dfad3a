import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { buzzout } from '../harness/cli';
import { sine, wavBytes } from '../harness/wav';

const folder = mkdtempSync(join(tmpdir(), 'buzzout-measure-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const bytes = wavBytes([sine(997, 0.5), sine(997, 0.25, 180)], 1);

test('the figures of a recording with no board, by name and from standard input alike', async () => {
  writeFileSync(join(folder, 'a b.wav'), bytes);
  const named = await buzzout(folder, ['measure', 'a b.wav', '--json', '--stimulus', '{tone: 997 Hz, side: both}']);
  const piped = await buzzout(folder, ['measure', '-', '--json', '--stimulus', '{tone: 997 Hz, side: both}'], bytes);
  expect(named.status).toBe(0);
  expect(piped.out).toBe(named.out);
  const { rate, frames, channels, pairs } = JSON.parse(named.out);
  expect([rate, frames]).toEqual([48000, 48000]);
  expect(channels[0].tone.frequency).toBeCloseTo(997, 3);
  expect(channels[0].tone.amplitude).toBeCloseTo(0.5, 4);
  expect(pairs[0].relation).toBe('antiphase');
  expect(pairs[0].balance).toBeCloseTo(-6.0206, 2);
});

test('an all-in-one take: its table, and a side that comes once more', async () => {
  await buzzout(folder, ['signals', 'sig']);
  const file = readFileSync(join(folder, 'sig/all-in-one.wav'));
  const samples = new Int16Array(file.buffer, file.byteOffset + 44, (file.length - 44) >> 1);
  const dry = Int16Array.from(samples);
  // The left once more, 20 ms later and a quarter as loud: 20·lg 4 = 12.0 dB.
  for (let n = 960; 2 * n < dry.length; n++) samples[2 * n]! += Math.round(dry[2 * (n - 960)]! / 4);
  writeFileSync(join(folder, 'echo.wav'), file);
  const { out } = await buzzout(folder, ['measure', 'echo.wav', '--stimulus', 'all-in-one']);
  expect(out).toMatch(/left alone: separation/);
  expect(out).toMatch(/left comes once more 20\.0 ms later, −1[12]\.\d dB\n/);
});

test('volts where the scale is given', async () => {
  writeFileSync(join(folder, 'a b.wav'), bytes);
  const { out } = await buzzout(folder, ['measure', 'a b.wav', '--full-scale', '2 V', '--json']);
  expect(JSON.parse(out).channels[0].tone.amplitude).toBeCloseTo(1, 4);
});

test('bad calls and files are refused in a line', async () => {
  expect(await buzzout(folder, ['measure'])).toMatchObject({ status: 2, out: '' });
  expect((await buzzout(folder, ['measure', 'none.wav'])).err).toContain('there is no file none.wav');
  expect((await buzzout(folder, ['measure', '.'])).err).toContain('is a folder');
  expect((await buzzout(folder, ['measure', '-'], 'no recording\n')).status).toBe(2);
  expect((await buzzout(folder, ['measure', 'a b.wav', '--stimulus', 'loud'])).status).toBe(2);
});

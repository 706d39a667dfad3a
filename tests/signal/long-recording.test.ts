import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildSync } from 'esbuild';
import { afterAll, beforeAll, expect, test } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'buzzout-long-'));
const bundle = join(folder, 'child.mjs');
beforeAll(() => {
  const entry = join(__dirname, 'long-recording.child.ts');
  buildSync({
    entryPoints: [entry],
    bundle: true,
    platform: 'node',
    format: 'esm',
    outfile: bundle,
    logLevel: 'error',
  });
});
afterAll(() => rmSync(folder, { recursive: true }));

interface Ran {
  readonly frames: number;
  readonly seconds: number;
  readonly megabytes: number;
  /** MB in use after the garbage is collected, at the most. */
  readonly held: number;
  /** MB the process ever had, garbage and the runtime included. */
  readonly peak: number;
  readonly rms: readonly number[];
  readonly frequency: number;
  readonly relation: string;
  readonly stretch: { readonly frames: number; readonly from: number; readonly text: string };
  readonly warnings: readonly string[];
}

/** In a process of its own, so that its memory is the measurement's alone. */
function run(format: 'wav' | 'csv', megabytes: number): Ran {
  const { stdout, stderr, status } = spawnSync(process.execPath, ['--expose-gc', bundle, format, `${megabytes}`], {
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(stderr);
  const ran: Ran = JSON.parse(stdout);
  const speed = (ran.megabytes / ran.seconds).toFixed(0);
  console.log(
    `${format}, ${ran.megabytes.toFixed(0)} MB: ${speed} MB/s, ${ran.held.toFixed(1)} MB held, ${ran.peak.toFixed(0)} MB at the peak`,
  );
  return ran;
}

function check(ran: Ran, frameBytes: number) {
  expect(ran.frames).toBeGreaterThan((0.9 * ran.megabytes * 1e6) / frameBytes);
  // Levels over all of it: a tenth silent, a tenth at 0.025, eight tenths at 0.25.
  const expected = Math.sqrt((0.8 * 0.25 ** 2 + 0.1 * 0.025 ** 2) / 2 + 1e-8);
  for (const rms of ran.rms) expect(rms / expected).toBeCloseTo(1, 3);
  expect(ran.relation).toBe('antiphase');
  // Tone figures from part of it, and said so.
  expect(ran.frequency).toBeCloseTo(997, 4);
  expect(ran.stretch.frames).toBe(1 << 20);
  expect(ran.stretch.from).toBeGreaterThan((0.2 * ran.frames) / 48000);
  expect(ran.stretch.text).toMatch(/longest steady stretch \(at most 2\^20 frames\)/);
  expect(ran.held).toBeLessThan(60);
}

test('memory is flat: a WAV four times as long takes no more', { timeout: 300_000 }, () => {
  const [short, long] = [run('wav', 60), run('wav', 240)];
  check(short, 4);
  check(long, 4);
  expect(long.held - short.held).toBeLessThan(5);
});

test('nor does a CSV', { timeout: 300_000 }, () => {
  const [short, long] = [run('csv', 60), run('csv', 180)];
  check(short, 20);
  check(long, 20);
  expect(long.held - short.held).toBeLessThan(5);
});

// Takes a minute: BUZZOUT_LONG=1 runs it.
test.skipIf(process.env.BUZZOUT_LONG !== '1')('a WAV of 2 GB within 200 MB of memory', { timeout: 600_000 }, () => {
  const ran = run('wav', 2000);
  check(ran, 4);
  expect(ran.peak).toBeLessThan(200);
});

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { renderSequence } from '../../../server/src/signal/sequence';
import { findSequence } from '../../../server/src/signal/sequence-finder';
import { stereoTable } from '../../../server/src/signal/stereo-measure';
import { testSignals } from '../../../server/src/signal/test-signals';
import { wavBytes } from '../../../server/src/signal/wav-writer';
import { outside } from '../../harness/outside';
import { decoded } from './reading';

outside.suite(['sox'], 'what sox does to a take', () => {
  let folder: string;
  let written: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'buzzout-'));
    written = join(folder, 'all-in-one.wav');
    writeFileSync(written, wavBytes(renderSequence(48000, -12), 48000, 24));
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  async function through(out: string[], effects: string[]) {
    const path = join(folder, 'through.wav');
    const ran = outside.run('sox', ['-R', written, ...out, path, ...effects]);
    expect(ran.status, ran.stderr).toBe(0);
    const { rate, channels } = decoded(path);
    const result = await findSequence(channels, rate);
    if ('error' in result) throw new Error(result.error);
    return { found: result.found, table: stereoTable(result.found, channels, rate)!, rate };
  }

  test('the files are WAV as sox reads it: rate, length, peak', () => {
    for (const { name, render, seconds } of testSignals) {
      const path = join(folder, `${name}.wav`);
      for (const bits of [16, 24] as const) {
        writeFileSync(path, wavBytes(render(44100, -12), 44100, bits));
        const info = (what: string) => outside.run('sox', ['--i', what, path]).stdout.trim();
        expect([info('-r'), info('-c'), info('-b'), info('-t')]).toEqual(['44100', '2', String(bits), 'wav']);
        expect(Number(info('-D'))).toBeCloseTo(seconds, 3);
        const peak = Number(/Maximum amplitude:\s+(\S+)/.exec(outside.run('sox', [path, '-n', 'stat']).stderr)![1]);
        const highest = { unlike: 0.55, 'all-in-one': 0.55, silence: 0 }[name] ?? 0.2512;
        expect(peak).toBeLessThanOrEqual(highest + 1e-3);
        expect(peak).toBeGreaterThanOrEqual(name === 'silence' ? 0 : 0.2);
      }
    }
  });

  test('resampled to 44.1 kHz and run 0.02 % slow, which is long by 200 ppm', async () => {
    const { found, table, rate } = await through(
      ['-b', '24', '-r', '44100'],
      ['speed', '0.9998', 'rate', '-v', '44100'],
    );
    expect(rate).toBe(44100);
    expect(found.drift).toBeCloseTo(200.04, 0);
    expect(found.marks).toBe(4);
    expect(table.found).toEqual(['as-designed']);
  });

  test('to 96 kHz and 16 bits, 30 dB down, swapped, after four seconds', async () => {
    const { found, table } = await through(
      ['-b', '16'],
      ['gain', '-30', 'remix', '2', '1', 'rate', '-v', '96000', 'pad', '4'],
    );
    expect(found.start / 96000).toBeCloseTo(4, 4);
    expect(Math.abs(found.drift!)).toBeLessThan(0.5);
    expect(table.found).toEqual(['sides-exchanged']);
  });

  test('one side inverted', async () => {
    const { table } = await through(['-b', '24'], ['remix', '1', '2v-1']);
    expect(table.found).toEqual(['polarity-reversed']);
    expect(table.polarity).toBe('opposed');
  });

  test('the difference alone, as an open return leaves it', async () => {
    const { table } = await through(['-b', '24'], ['remix', '1v0.5,2v-0.5', '1v-0.5,2v0.5']);
    expect(table.found).toEqual(['return-open']);
    expect(table.rows.find(({ part }) => part === 'both')!.relation).toBe('both-silent');
  });

  test('through a lossy band: 300 to 3400 Hz, where the low tone is lost', async () => {
    const { found, table } = await through(['-b', '16'], ['highpass', '300', 'lowpass', '3400']);
    expect(found.marks).toBe(4);
    expect(table.found[0]).toBe('as-designed');
    expect(table.lowLeft!).toBeLessThan(-20);
  });
});

outside.suite(['sox', 'alsa-voices'], 'a voice is not the recording', () => {
  test.each(['Front_Left', 'Noise', 'Rear_Center'])('%s', async (name) => {
    const { rate, channels } = decoded(outside.voice(name));
    expect(await findSequence(channels, rate)).toEqual({ error: expect.stringContaining('not the all-in-one') });
  });
});

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { openCsv } from '../../../server/src/signal/csv';
import type { RecordingFigures } from '../../../server/src/signal/figures';
import { measure } from '../../../server/src/signal/measure';
import { slice } from '../../../server/src/signal/recording';
import { memorySource } from '../../../server/src/signal/source';
import { outside } from '../../harness/outside';

const folder = outside.shared('scope-captures');
const figures = async (name: string): Promise<RecordingFigures> => {
  const outcome = await measure(memorySource(readFileSync(join(folder!, name))), { format: 'csv' });
  if ('error' in outcome) throw new Error(outcome.error);
  return outcome.figures;
};

/** Files of real instruments (RigolWFM at 159e647c, BSD); figures by numpy, as the README beside them lists them. */
describe.skipIf(folder === null)('oscilloscope CSV files', () => {
  test.each([
    ['DS2072A-1.csv', 0.9969, 4, 0.13, 'same'],
    ['DS2072A-4.csv', 0.978, 3, 1.23, 'same'],
    ['DS1204B-A-original.csv', 0.019, 3, null, 'unrelated'],
    ['DS1074Z-B.csv', 0.84, 2, null, 'partly'],
  ] as const)('%s: correlation %f', async (name, correlation, digits, gain, relation) => {
    const pair = (await figures(name)).pairs[0]!;
    expect(pair.correlation).toBeCloseTo(correlation, digits);
    // The list's gain is the slope of a straight line through the two, which is the balance times the correlation.
    if (gain !== null) expect(pair.balance! + 20 * Math.log10(pair.correlation!)).toBeCloseTo(gain, 2);
    expect(pair.relation).toBe(relation);
  });

  /** Read off the files by eye: rate, rows, columns of values. */
  test.each([
    ['DS1074Z-A.csv', 50e3, 1200, ['CH1', 'CH2', 'CH3']],
    ['DS1074Z-B.csv', 20e6, 1200, ['CH1', 'CH2', 'CH3']],
    ['DS1102E-B.csv', 50e6, 600, ['CH1']],
    ['DS1204B-A-original.csv', 125e3, 8192, ['CH1', 'CH2', 'CH3', 'CH4']],
    ['DS2072A-1.csv', 200e3, 1400, ['CH1', 'CH2']],
    ['DS2072A-4.csv', 10e3, 1400, ['CH1', 'CH2']],
    ['DS2072A-7.csv', 200e3, 1400, ['CH2']],
    ['DS4024-A.csv', 500e3, 1356, ['CH1', 'CH2']],
    ['headerless-2col.csv', 0, 4000, ['1', '2']],
    ['headerless-time.csv', 40e9, 4000, ['1']],
  ] as const)('%s: %f Hz, %i rows', async (name, rate, frames, names) => {
    const got = await figures(name);
    expect(got.channels.map((channel) => channel.name)).toEqual(names);
    expect(got.frames).toBe(frames);
    expect(got.rate === rate || Math.abs(got.rate / rate - 1) < 1e-6).toBe(true);
    expect(got.warnings.some(({ what }) => what === 'no-rate')).toBe(rate === 0);
    // One of them is cut off: its first channel rises to code +128 of 8 bits and stays there, by eye.
    const expected = ['few-levels', 'no-rate', ...(name === 'DS1074Z-B.csv' ? ['clipped'] : [])];
    expect(got.warnings.every(({ what }) => expected.includes(what))).toBe(true);
    expect(got.channels[0]!.clipped).toBe(name === 'DS1074Z-B.csv' ? 1 : null);
    expect(got.channels.every(({ unit }) => unit === 'V')).toBe(true);
  });

  test('the 1 kHz probe signal is found at 1 kHz, within its own uncertainty', async () => {
    const { channels } = await figures('DS1204B-A-original.csv');
    const { frequency, sd } = channels[0]!.tone!;
    expect(Math.abs(frequency - 1000)).toBeLessThan(4 * sd.frequency);
  });
});

const script = `
import json, sys, numpy as np
out = {}
for path in sys.argv[1:]:
    rows = []
    for line in open(path, encoding='utf-8-sig'):
        cells = [c.strip() for c in line.strip().rstrip(', ').split(',')]
        try: rows.append([float(c) for c in cells])
        except ValueError: pass
    width = max(map(len, rows))
    x = np.array([r for r in rows if len(r) == width])
    out[path] = {'columns': x.T.tolist(), 'std': x.std(axis=0).tolist(), 'mean': x.mean(axis=0).tolist()}
print(json.dumps(out))
`;

if (folder !== null)
  outside.suite(['scipy'], 'every value, and its mean and deviation, as numpy has them', () => {
    const paths = readdirSync(folder).filter((name) => name.endsWith('.csv'));
    const theirs: Record<string, { columns: number[][]; std: number[]; mean: number[] }> = JSON.parse(
      outside.python(script, { args: paths.map((name) => join(folder!, name)) }),
    );
    test.each(paths)('%s', async (name) => {
      const path = join(folder!, name);
      const recording = await openCsv(memorySource(readFileSync(path)));
      if ('error' in recording) throw new Error(recording.error);
      const ours = await slice(recording, 0, recording.frames);
      const { columns, std, mean } = theirs[path]!;
      // Without a time or index column the first column is a signal too.
      const skip = columns.length - ours.length;
      const { channels } = await figures(name);
      ours.forEach((channel, c) => {
        expect([...channel]).toEqual(columns[c + skip]);
        expect(channels[c]!.rms).toBeCloseTo(std[c + skip]!, 12);
        expect(channels[c]!.dc).toBeCloseTo(mean[c + skip]!, 12);
      });
    });
  });

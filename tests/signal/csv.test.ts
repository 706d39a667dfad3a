import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { openCsv } from '../../server/src/signal/csv';
import { metaNumber, nameAndUnit, unitOf } from '../../server/src/signal/csv-units';
import { blockFrames, type Recording, slice } from '../../server/src/signal/recording';
import { memorySource } from '../../server/src/signal/source';

const bytesOf = (text: string) => new TextEncoder().encode(text);
const open = async (text: string | Uint8Array): Promise<Recording> => {
  const recording = await openCsv(memorySource(typeof text === 'string' ? bytesOf(text) : text));
  if ('error' in recording) throw new Error(recording.error);
  return recording;
};
const errorOf = async (text: string | Uint8Array) => {
  const recording = await openCsv(memorySource(typeof text === 'string' ? bytesOf(text) : text));
  return 'error' in recording ? recording.error : null;
};
const valuesOf = async (recording: Recording) => (await slice(recording, 0, recording.frames)).map((c) => [...c]);
const whats = (recording: Recording) => recording.warnings.map(({ what }) => what);

/** Rows of time and two channels, written by `row`. */
const count = 50;
const left = (i: number) => Math.round(1e4 * Math.sin(i)) / 1e4;
const right = (i: number) => Math.round(1e4 * Math.cos(i)) / 1e4;
const rows = (row: (i: number, left: number, right: number) => string, end = '\n') =>
  Array.from({ length: count }, (_, i) => row(i, left(i), right(i)) + end).join('');
const expected = [Array.from({ length: count }, (_, i) => left(i)), Array.from({ length: count }, (_, i) => right(i))];
const comma = (value: number | string) => String(value).replace('.', ',');

/** Shapes met in the field: header text and one row; the same two channels, every 20 µs. */
const shapes: Record<string, { text: string; names?: string[] }> = {
  'sequence with start and increment in the header, trailing comma': {
    text: `X,CH1,CH2,Start,Increment,\r\nSequence,Volt,Volt,-1.0e-03,2.000000e-05,\r\n${rows((i, a, b) => `${i},${a},${b},`, '\r\n')}`,
    names: ['CH1', 'CH2'],
  },
  'the same without the trailing comma, index from 22': {
    text: `X,CH1,CH2,Start,Increment\nSequence,Volt,Volt,-1.0e-03,2.000000e-05\n${rows((i, a, b) => `${i + 22},${a},${b}`)}`,
    names: ['CH1', 'CH2'],
  },
  'time under Second, empty first header cell, trailing ", "': {
    text: `,CH1,CH2\r\nSecond,Volt,Volt\r\n${rows((i, a, b) => `${(i * 2e-5).toExponential(5)},${a},${b}, `, '\r\n')}`,
    names: ['CH1', 'CH2'],
  },
  'no header at all': { text: rows((i, a, b) => `${(i * 2e-5 - 1e-3).toFixed(6)},${a},${b}`), names: ['1', '2'] },
  'keys and values in the first columns of the same rows': {
    text: rows((i, a, b) => {
      const meta = ['Record Length,2.5e3', 'Sample Interval,2e-5', 'Vertical Units,V'][i] ?? ',';
      return `${meta},,${(i * 2e-5).toFixed(6)},${a},${b}`;
    }),
    names: ['1', '2'],
  },
  'eleven lines of metadata': {
    text: `Model,DSO-5\nFirmware,1.02\nDate,2024-03-01 10:22\nPoints,50\n${Array.from({ length: 7 }, (_, i) => `Key ${i},${i}`).join('\n')}\nTime(s),Left(V),Right(V)\n${rows((i, a, b) => `${i * 2e-5},${a},${b}`)}`,
    names: ['Left', 'Right'],
  },
  'decimal commas and semicolons, microseconds': {
    text: `Zeit (µs);Kanal A (V);Kanal B (V)\n${rows((i, a, b) => `${comma(i * 20)};${comma(a)};${comma(b)}`)}`,
    names: ['Kanal A', 'Kanal B'],
  },
  'a byte-order mark, milliseconds in brackets, millivolts': {
    text: `\ufeffTime [ms],A [mV],B [mV]\n${rows((i, a, b) => `${(i * 0.02).toFixed(2)},${(a * 1000).toFixed(1)},${(b * 1000).toFixed(1)}`)}`,
    names: ['A', 'B'],
  },
  'units in a row of their own, in brackets, then a blank line': {
    text: `Time,Channel A,Channel B\n(ms),(V),(V)\n\n${rows((i, a, b) => `${(i * 0.02).toFixed(2)},${a},${b}`)}`,
    names: ['Channel A', 'Channel B'],
  },
  'a header marked as a comment': {
    text: `# made by a logger\n# time,L,R\n${rows((i, a, b) => `${(i * 2e-5).toFixed(6)},${a},${b}`)}`,
    names: ['L', 'R'],
  },
  tabs: {
    text: `time\tv(left)\tv(right)\n${rows((i, a, b) => `${(i * 2e-5).toFixed(6)}\t${a}\t${b}`)}`,
    names: ['v(left)', 'v(right)'],
  },
  'columns of blanks': { text: rows((i, a, b) => `  ${(i * 2e-5).toFixed(6)}   ${a}  ${b}`) },
  'quoted cells with decimal commas between commas': {
    text: `"Time (s)","L (V)","R (V)"\n${rows((i, a, b) => `"${comma((i * 2e-5).toFixed(6))}","${comma(a)}","${comma(b)}"`)}`,
    names: ['L', 'R'],
  },
  'old Mac line ends': { text: rows((i, a, b) => `${(i * 2e-5).toFixed(6)},${a},${b}`, '\r') },
  'an index column and the rate in the metadata': {
    text: `Sample rate: 50 kSa/s\nSample,L,R\n${rows((i, a, b) => `${i},${a},${b}`)}`,
    names: ['L', 'R'],
  },
  'a header row shorter than the data': {
    text: `Source,CH1\nSecond\n${rows((i, a, b) => `${(i * 2e-5).toFixed(6)},${a},${b}`)}`,
  },
};

describe('shapes of scope CSV, told by themselves', () => {
  test.each(Object.entries(shapes))('%s', async (_, { text, names }) => {
    const recording = await open(text);
    const values = await valuesOf(recording);
    expect(values.length).toBe(2);
    values.forEach((channel, c) => {
      channel.forEach((value, i) => {
        expect(value).toBeCloseTo(expected[c]![i]!, 9);
      });
    });
    expect(recording.rate).toBeCloseTo(50_000, 4);
    expect(recording.frames).toBe(count);
    expect(recording.even).toBe(true);
    expect(whats(recording)).toEqual([]);
    if (names) expect(recording.channels.map(({ name }) => name)).toEqual(names);
  });

  test('two columns that are both signals: no time, and said', async () => {
    const recording = await open(rows((_, a, b) => `${a},${b}`));
    expect(await valuesOf(recording)).toEqual(expected);
    expect(recording.rate).toBe(0);
    expect(whats(recording)).toEqual(['no-rate']);
  });

  test('one column alone, and an interval above it', async () => {
    const recording = await open(`Sample Interval,4 us\nVolt\n${rows((_, a) => `${a}`)}`);
    expect(await valuesOf(recording)).toEqual([expected[0]]);
    expect(recording.rate).toBeCloseTo(250_000, 5);
    expect(recording.channels[0]!.unit).toBe('V');
  });

  test('amperes, and two columns of one name', async () => {
    const recording = await open(`Time (s),Probe (mA),Probe (A)\n${rows((i, a, b) => `${i},${a},${b}`)}`);
    expect(recording.channels).toEqual([
      { name: 'Probe', unit: 'A', factor: 1e-3, rails: null },
      { name: 'Probe 2', unit: 'A', factor: 1, rails: null },
    ]);
    expect((await valuesOf(recording))[0]![3]).toBeCloseTo(left(3) / 1000, 12);
  });
});

describe('what is odd is noticed and said', () => {
  test('times off the grid', async () => {
    const jittered = await open(rows((i, a) => `${(i + (i % 7) * 0.12) * 1e-3},${a}`));
    expect(jittered.even).toBe(false);
    expect(whats(jittered)).toEqual(['uneven']);
  });
  test('a gap in time', async () => {
    const gap = await open(rows((i, a) => `${(i < 25 ? i : i + 10) * 1e-3},${a}`));
    expect(gap.even).toBe(false);
    const wide = await open(rows((i, a) => `${(i < 25 ? i : i + 500) * 1e-3},${a}`));
    expect(wide.even).toBe(false);
  });
  test('time that starts again: two records in one file', async () => {
    const text = `Time (s),V\n${rows((i, a) => `${(i % 25) * 1e-3},${a}`)}`;
    const twice = await open(text);
    expect(twice.even).toBe(false);
    expect(twice.warnings[0]!.text).toMatch(/backwards 1 time/);
  });
  test('a time column printed too coarsely is even all the same', async () => {
    const coarse = await open(`Time (s),V\n${rows((i, a) => `${(0.1 + i * 2e-5).toFixed(4)},${a}`)}`);
    expect(coarse.even).toBe(true);
    expect(coarse.rate).toBeGreaterThan(45_000);
    expect(coarse.rate).toBeLessThan(55_000);
  });
  test('nor does a last place of 0.7 steps make it uneven', async () => {
    const coarse = await open(`Time (s),V\n${rows((i, a) => `${Math.round(i / 0.7) * 7},${a}`)}`);
    expect(coarse.even).toBe(true);
  });
  test('cells without a number hold the value before', async () => {
    const text = `Time (s),V\n${rows((i, a) => `${i},${i === 5 || i === 6 ? 'OL' : a}`)}`;
    const recording = await open(text);
    expect((await valuesOf(recording))[0]!.slice(4, 8)).toEqual([left(4), left(4), left(4), left(7)]);
    expect(recording.warnings).toEqual([
      { what: 'gaps', text: '2 cells hold no number (over range, or left out); the value before each is held' },
    ]);
  });
  test('a file that ends inside a line', async () => {
    const text = `Time (s),V\n${rows((i, a) => `${i},${a}`)}`;
    const recording = await open(text.slice(0, text.lastIndexOf(',') + 1));
    expect(whats(recording)).toEqual(['truncated', 'gaps']);
  });
});

describe('refused in words', () => {
  test.each<[string, string | Uint8Array, RegExp]>([
    ['an empty file', '', /empty/],
    ['prose', 'Dear reader,\nthis is no recording.\nYours\n', /no columns of numbers/],
    ['binary', Uint8Array.of(1, 2, 0, 3, 10, 0, 0, 1), /binary/],
    ['one row', '0.1,0.2\n', /fewer than two rows/],
    ['time and nothing else', 'Time (s)\n0\n1\n2\n3\n', /no values/],
  ])('%s', async (_, text, words) => {
    expect(await errorOf(text)).toMatch(words);
  });
});

test('every number reads as the language itself reads it', async () => {
  const number = fc.oneof(
    // Beyond ±9.9e37 numbers stand for what is over range.
    fc.double({ noNaN: true, min: -9e37, max: 9e37 }).map((v) => String(v)),
    fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e3, max: 1e3 }).map((v) => v.toFixed(9)),
    fc.double({ noNaN: true, min: -9e37, max: 9e37 }).map((v) => v.toExponential(12).toUpperCase()),
    fc.integer().map((v) => `+${Math.abs(v)}.`),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(fc.tuple(number, number), { minLength: 3, maxLength: 30 }), async (pairs) => {
      const text = `A (V);B (V)\n${pairs.map(([a, b]) => `${a};${b}`).join('\n')}\n`;
      const values = await valuesOf(await open(text));
      expect(values[0]).toEqual(pairs.map(([a]) => Number(a)));
      expect(values[1]).toEqual(pairs.map(([, b]) => Number(b)));
    }),
    { numRuns: 200 },
  );
});

test('no text throws', async () => {
  const line = fc.oneof(
    fc.string(),
    fc.constantFrom('1,2', '1;2', '"', '"1,2', 'a,b', '-', '1e', '1e999,-1e-999', ',,,'),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(line, { maxLength: 12 }), async (lines) => {
      const opened = await openCsv(memorySource(bytesOf(lines.join('\n'))));
      if ('error' in opened) expect(opened.error.length).toBeGreaterThan(5);
      else await valuesOf(opened);
    }),
    { numRuns: 500 },
  );
});

test('read from any row on, over chunk and block borders', async () => {
  const long = 3 * blockFrames + 17;
  const text = `Time (s),V\n${Array.from({ length: long }, (_, i) => `${(i * 1e-6).toFixed(6)},${i}`).join('\n')}\n`;
  const recording = await open(text);
  expect(recording.frames).toBe(long);
  expect(recording.rate).toBeCloseTo(1e6, 3);
  for (const from of [0, 5, blockFrames - 1, blockFrames, 2 * blockFrames + 9, long - 1]) {
    const [values] = await slice(recording, from, blockFrames + 3);
    expect(values!.length).toBe(Math.min(blockFrames + 3, long - from));
    expect(values!.every((value, i) => value === from + i)).toBe(true);
  }
});

describe('units as instruments write them', () => {
  test.each([
    ['Volt', 'volts', 1],
    ['(mV)', 'volts', 1e-3],
    ['[µs]', 'time', 1e-6],
    ['us', 'time', 1e-6],
    ['Seconds', 'time', 1],
    ['milliseconds', 'time', 1e-3],
    ['S', 'time', 1],
    ['ns', 'time', 1e-9],
    ['Ampere', 'amperes', 1],
    ['mA', 'amperes', 1e-3],
    ['Sequence', 'index', 1],
  ])('%s', (text, kind, factor) => expect(unitOf(text)).toEqual({ kind, factor }));
  test.each(['MV', 'CH1', 'dB', '', 'volume'])('%s is none', (text) => expect(unitOf(text)).toBeNull());
  test('names with units', () => {
    expect(nameAndUnit('CH1/mV')).toEqual({ name: 'CH1', unit: { kind: 'volts', factor: 1e-3 } });
    expect(nameAndUnit('time_us')).toEqual({ name: 'time', unit: { kind: 'time', factor: 1e-6 } });
    expect(nameAndUnit('Channel A')).toEqual({ name: 'Channel A', unit: null });
    expect(nameAndUnit('Channel A (A)')).toEqual({ name: 'Channel A', unit: { kind: 'amperes', factor: 1 } });
  });
  test('metadata numbers', () => {
    expect(metaNumber('4 us')).toBeCloseTo(4e-6, 15);
    expect(metaNumber('250 kSa/s')).toBe(250_000);
    expect(metaNumber('1 GSa/s')).toBe(1e9);
    expect(metaNumber('2.000000e-05')).toBe(2e-5);
    expect(metaNumber('CH1')).toBeNull();
  });
});

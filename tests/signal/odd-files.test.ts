import { describe, expect, test } from 'vitest';
import type { Stimulus } from '../../server/src/signal/figures';
import { levelsOf } from '../../server/src/signal/levels';
import { type MeasureRequest, measure } from '../../server/src/signal/measure';
import { memorySource } from '../../server/src/signal/source';
import { sine, wav } from './make';

const bytesOf = (text: string) => new TextEncoder().encode(text);
const count = 300;
const rows = (row: (i: number) => string, head = 'Time (s),V') =>
  `${head}\n${Array.from({ length: count }, (_, i) => row(i)).join('\n')}\n`;
const value = (i: number) => Math.sin(i).toFixed(4);

/** A RIFF of chunks. */
function riff(...chunks: [string, Uint8Array][]): Uint8Array {
  const size = chunks.reduce((sum, [, bytes]) => sum + 8 + bytes.length + (bytes.length % 2), 12);
  const out = new Uint8Array(size);
  const view = new DataView(out.buffer);
  out.set(bytesOf('RIFF'));
  view.setUint32(4, size - 8, true);
  out.set(bytesOf('WAVE'), 8);
  let at = 12;
  for (const [name, bytes] of chunks) {
    out.set(bytesOf(name), at);
    view.setUint32(at + 4, bytes.length, true);
    out.set(bytes, at + 8);
    at += 8 + bytes.length + (bytes.length % 2);
  }
  return out;
}
/** A `fmt ` chunk; with `valid` bits the extensible one. */
function fmt(bits: number, { channels = 1, rate = 48000, tag = 1, valid = 0 } = {}): [string, Uint8Array] {
  const bytes = new Uint8Array(valid ? 40 : 16);
  const view = new DataView(bytes.buffer);
  const align = (channels * bits) / 8;
  view.setUint16(0, valid ? 0xfffe : tag, true);
  view.setUint16(2, channels, true);
  view.setUint32(4, rate, true);
  view.setUint32(8, Math.min(0xffffffff, rate * align), true);
  view.setUint16(12, align, true);
  view.setUint16(14, bits, true);
  if (!valid) return ['fmt ', bytes];
  view.setUint16(16, 22, true);
  view.setUint16(18, valid, true);
  view.setUint32(24, tag, true);
  bytes.set([0, 0, 16, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71], 28);
  return ['fmt ', bytes];
}
const raw = (samples: { readonly buffer: ArrayBufferLike }): [string, Uint8Array] => [
  'data',
  new Uint8Array(samples.buffer),
];
const tone = sine({ rate: 48000, frames: 4800, frequency: 997, amplitude: 0.5 });
const coded = (bits: number) => tone.map((x) => Math.round(x * 2 ** (bits - 1)));

/** Every number anywhere in the figures that is none, by its path. Levels of nothing at all are −∞ dB. */
function oddNumbers(part: unknown, path = ''): string[] {
  if (typeof part === 'number')
    return Number.isNaN(part) || part === Number.POSITIVE_INFINITY ? [`${path} ${part}`] : [];
  if (part === null || typeof part !== 'object') return [];
  return Object.entries(part).flatMap(([key, inner]) => oddNumbers(inner, `${path}.${key}`));
}

const stimuli: (Stimulus | null)[] = [
  null,
  { kind: 'silence' },
  { kind: 'tone', tone: 997, side: 'left' },
  { kind: 'noise', side: 'left' },
  { kind: 'all-in-one' },
];

/** The figures under every stimulus; one that fails must say the same under all. */
async function all(bytes: Uint8Array, format: MeasureRequest['format']) {
  const outcomes = [];
  for (const stimulus of stimuli) outcomes.push(await measure(memorySource(bytes), { format, stimulus }));
  return outcomes.map((outcome) => {
    if ('error' in outcome) return outcome.error;
    expect(oddNumbers(outcome.figures)).toEqual([]);
    return outcome.figures;
  });
}

describe('WAV files at the edge: right figures, no NaN, no throw, whatever is said to have been played', () => {
  test.each<[string, Uint8Array, number | string]>([
    ['no samples', riff(fmt(16), raw(new Int16Array(0))), 'the WAV file holds no samples'],
    ['one frame', riff(fmt(16), raw(Int16Array.of(16384))), 0],
    ['two frames', riff(fmt(16), raw(Int16Array.of(16384, -16384))), 0.5],
    ['24 bits in 32', riff(fmt(32, { valid: 24 }), raw(Int32Array.from(coded(24), (v) => v * 256))), 0.5 / Math.SQRT2],
    ['12 bits in 16', riff(fmt(16, { valid: 12 }), raw(Int16Array.from(coded(12), (v) => v * 16))), 0.5 / Math.SQRT2],
    ['double, extensible', riff(fmt(64, { tag: 3, valid: 64 }), raw(tone)), 0.5 / Math.SQRT2],
    [
      'eight channels',
      riff(fmt(16, { channels: 8 }), raw(Int16Array.from(coded(16).subarray(0, 4000), (_, i) => coded(16)[i >> 3]!))),
      0.5 / Math.SQRT2,
    ],
    ['192 kHz', riff(fmt(16, { rate: 192_000 }), raw(Int16Array.from(coded(16)))), 0.5 / Math.SQRT2],
    ['1 Hz', riff(fmt(16, { rate: 1 }), raw(Int16Array.from(coded(16)))), 0.5 / Math.SQRT2],
    ['4 GHz', riff(fmt(16, { rate: 0xffffffff }), raw(Int16Array.from(coded(16)))), 0.5 / Math.SQRT2],
    [
      'chunks of odd length all around',
      riff(['JUNK', new Uint8Array(7)], fmt(16), ['LIST', new Uint8Array(33)], raw(Int16Array.from(coded(16))), [
        'id3 ',
        new Uint8Array(5),
      ]),
      0.5 / Math.SQRT2,
    ],
    ['not a number, all of it', riff(fmt(64, { tag: 3 }), raw(new Float64Array(999).fill(Number.NaN))), 0],
    ['beyond all measure', riff(fmt(64, { tag: 3 }), raw(tone.map((x) => x * 1e300))), 0],
    ['too small to square', riff(fmt(64, { tag: 3 }), raw(tone.map((x) => x * 1e-300))), 0],
    ['constant, at the rail', riff(fmt(16), raw(new Int16Array(4800).fill(-32768))), 0],
    ['digital silence', riff(fmt(16, { channels: 2 }), raw(new Int16Array(120_000))), 0],
  ])('%s', async (name, bytes, expected) => {
    const got = await all(bytes, 'wav');
    if (typeof expected === 'string') {
      expect(got).toEqual(stimuli.map(() => expected));
      return;
    }
    for (const figures of got) {
      if (typeof figures === 'string') throw new Error(figures);
      const [channel] = figures.channels;
      // Periods are not whole: the record's own RMS is within 2 % of the sine's.
      expect(Math.abs(channel!.rms - expected)).toBeLessThan(0.01);
      if (expected === 0) expect([channel!.tone, channel!.thd, channel!.sinad]).toEqual([null, null, null]);
      const odd = name.startsWith('not a number') || name.startsWith('beyond');
      expect(figures.warnings.some(({ what }) => what === 'gaps')).toBe(odd);
    }
  });

  test('some samples infinite, some not a number: the rest counts, and it is said', async () => {
    const samples = tone.map((x, i) => (i % 100 === 3 ? Number.POSITIVE_INFINITY : i % 77 === 1 ? Number.NaN : x));
    for (const figures of await all(wav([samples]), 'wav')) {
      if (typeof figures === 'string') throw new Error(figures);
      expect(figures.channels[0]!.max).toBeLessThanOrEqual(0.5);
      expect(figures.warnings[0]!.text).toMatch(/not numbers/);
    }
  });
});

describe('CSV files at the edge: read right, or refused in words', () => {
  const { rms } = levelsOf(Float64Array.from({ length: count }, (_, i) => Number(value(i))));
  test.each<[string, string]>([
    [
      'numbers with exponents and decimal commas',
      rows((i) => `${i}E-3;${Number(value(i)).toExponential(4).replace('.', ',')}`, 'Zeit (s);V'),
    ],
    ['delimiters at the ends of rows', rows((i) => `${i * 1e-3},${value(i)},,,`, 'Time (s),V,,,')],
    ['semicolons at the ends of rows', rows((i) => `${i * 1e-3};${value(i)};;`, 'Time (s);V;;')],
    ['the true minus sign', rows((i) => `${i * 1e-3},${value(i).replace('-', '−')}`)],
    ['blanks around delimiters', rows((i) => `${i * 1e-3} , ${value(i)} `, 'Time (s), V')],
    ['no end to the last line', rows((i) => `${i * 1e-3},${value(i)}`).trimEnd()],
    ['a byte-order mark and blank lines', `\ufeff\n\n${rows((i) => `${i * 1e-3},${value(i)}\n`)}`],
    ['carriage returns alone', rows((i) => `${i * 1e-3},${value(i)}`).replaceAll('\n', '\r')],
  ])('%s', async (_, text) => {
    for (const figures of await all(bytesOf(text), 'csv')) {
      if (typeof figures === 'string') throw new Error(figures);
      expect(figures.channels.length).toBe(1);
      expect(figures.channels[0]!.rms).toBeCloseTo(rms, 9);
      expect(figures.rate).toBeCloseTo(1000, 6);
    }
  });

  const wide = (columns: number) => {
    const row = Array.from({ length: columns }, (_, i) => i % 10).join(',');
    return `${row}\n${row}\n${row}\n`;
  };
  test.each<[string, string, RegExp]>([
    ['nothing', '', /empty/],
    ['a byte-order mark alone', '\ufeff', /empty/],
    ['line ends alone', '\n\r\n\n', /empty/],
    ['a header alone', 'Time (s),CH1 (V)\n', /no columns of numbers/],
    ['a header and one row', 'Time (s),CH1 (V)\n0,1\n', /fewer than two rows/],
    ['one row', '0.1,0.2', /fewer than two rows/],
    ['thousands in points', rows((i) => `${i};1.${100 + i},5`, 'Time (s);V'), /thousands separators/],
    ['thousands in commas', rows((i) => `${i},"1,${100 + i}.5"`), /thousands separators/],
    ['thousands in blanks', rows((i) => `${i};1 ${100 + i},5`, 'Time (s);V'), /thousands separators/],
    ['thousands in apostrophes', rows((i) => `${i};1'${100 + i}.5`, 'Time (s);V'), /thousands separators/],
    ['units in the cells', rows((i) => `${i} ms,${value(i)} V`), /units stand beside the numbers \("149 ms"\)/],
    ['nothing but over range', rows((i) => `${i},OL`), /no values/],
    ['hexadecimal', rows((i) => `0x${i.toString(16)}`, 'V'), /no columns of numbers/],
    ['steps no recorder has', rows((i) => `${i}e-320,1`), /no recorder has/],
    ['300 columns', wide(300), /300 columns.*64/],
    ['a million columns', wide(1e6), /no lines/],
    ['a line without end', '1'.repeat(1e6), /no lines/],
  ])('%s: refused', async (_, text, words) => {
    const outcome = await measure(memorySource(bytesOf(text)), { format: 'csv' });
    expect('error' in outcome && outcome.error).toMatch(words);
  });

  test.each<[string, string]>([
    ['two rows', '0,1\n1,2\n'],
    ['constant', rows((i) => `${i * 1e-4},2.5`)],
    ['as large as may be', rows((i) => `${i * 1e-4},${i % 2 ? 9e36 : -9e36}`)],
    ['time that stands still', rows((i) => `5,${i % 2}`)],
    ['time that runs backwards', rows((i) => `${-i},${i % 2}`)],
    ['clock times nobody can read', rows((i) => `10:00:${i % 60},${i % 2}`)],
    ['rows of different length', rows((i) => (i % 3 ? `${i},${value(i)}` : `${i},1,2`), 'Time (s),A,B')],
  ])('%s: figures without a NaN', async (_, text) => {
    for (const figures of await all(bytesOf(text), 'csv')) {
      if (typeof figures === 'string') throw new Error(figures);
      expect(figures.channels[0]!.tone?.amplitude ?? 0).toBeLessThan(1e37);
    }
  });
});

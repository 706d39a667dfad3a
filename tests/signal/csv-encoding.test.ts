import { describe, expect, test } from 'vitest';
import { openCsv } from '../../server/src/signal/csv';
import { blockFrames, slice } from '../../server/src/signal/recording';
import { memorySource } from '../../server/src/signal/source';

/** Text in UTF-16, with or without its byte-order mark. */
function utf16(text: string, little: boolean, mark: boolean): Uint8Array {
  const units = (mark ? '\ufeff' : '') + text;
  const bytes = new Uint8Array(2 * units.length);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < units.length; i++) view.setUint16(2 * i, units.charCodeAt(i), little);
  return bytes;
}

const opened = async (bytes: Uint8Array) => {
  const recording = await openCsv(memorySource(bytes));
  if ('error' in recording) throw new Error(recording.error);
  return recording;
};

describe('UTF-16, as some instruments and spreadsheets save', () => {
  const rows = Array.from({ length: 40 }, (_, i) => `${i * 20};${Math.sin(i).toFixed(4).replace('.', ',')}`);
  const text = `Zeit (\u03bcs);Kanal Ä (V)\r\n${rows.join('\r\n')}\r\n`;
  test.each([
    ['little-endian', true, true],
    ['big-endian', false, true],
  ])('%s with a byte-order mark', async (_, little, mark) => {
    const recording = await opened(utf16(text, little, mark));
    expect(recording.channels).toEqual([{ name: 'Kanal Ä', unit: 'V', factor: 1, rails: null }]);
    expect(recording.rate).toBeCloseTo(50_000, 4);
    expect(recording.warnings).toEqual([]);
    const [values] = await slice(recording, 0, recording.frames);
    expect([...values!]).toEqual(Array.from({ length: 40 }, (_, i) => Number(Math.sin(i).toFixed(4))));
  });

  test.each([true, false])('without one, told by its zeros (little-endian: %s)', async (little) => {
    const recording = await opened(utf16('t,V\n0,1\n1,2\n2,4\n3,8\n', little, false));
    expect([...(await slice(recording, 0, 9))[0]!]).toEqual([1, 2, 4, 8]);
  });

  test('cut short inside a character', async () => {
    const bytes = utf16(text, true, true);
    const recording = await opened(bytes.subarray(0, bytes.length - 5));
    expect(recording.frames).toBe(40);
    expect((await slice(recording, 0, 40))[0]!.at(-2)).toBe(Number(Math.sin(38).toFixed(4)));
  });

  test('read from any row on, over chunk and block borders', async () => {
    const long = blockFrames + 500;
    const many = `Time (s),V\n${Array.from({ length: long }, (_, i) => `${(i * 1e-6).toFixed(6)},${i}`).join('\n')}\n`;
    const recording = await opened(utf16(many, true, true));
    expect(recording.frames).toBe(long);
    for (const from of [0, 999, blockFrames + 7]) {
      const [values] = await slice(recording, from, 600);
      expect(values!.every((value, i) => value === from + i)).toBe(true);
    }
  });
});

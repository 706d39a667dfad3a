import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Recording } from '../../server/src/signal/recording';
import { slice } from '../../server/src/signal/recording';
import { memorySource } from '../../server/src/signal/source';
import { openWav } from '../../server/src/signal/wav';

/** Bytes of a list of numbers, texts and byte arrays; numbers as [value, bytes], in the order of the form. */
type Piece = string | Uint8Array | readonly [number, 1 | 2 | 4];
function bytes(pieces: readonly Piece[], little = true): Uint8Array {
  const out: number[] = [];
  for (const piece of pieces) {
    if (typeof piece === 'string') for (const c of piece) out.push(c.charCodeAt(0));
    else if (piece instanceof Uint8Array) for (const byte of piece) out.push(byte);
    else {
      const [value, size] = piece;
      const each = Array.from({ length: size }, (_, k) => Math.floor(value / 256 ** k) & 255);
      out.push(...(little ? each : each.reverse()));
    }
  }
  return Uint8Array.from(out);
}

interface Form {
  readonly tag?: number;
  readonly channels?: number;
  readonly rate?: number;
  readonly bits?: number;
  readonly container?: number;
  readonly little?: boolean;
}

const fmt = ({
  tag = 1,
  channels = 1,
  rate = 48000,
  bits = 16,
  container = Math.ceil(bits / 8),
  little = true,
}: Form) =>
  bytes(
    [
      'fmt ',
      [16, 4],
      [tag, 2],
      [channels, 2],
      [rate, 4],
      [rate * channels * container, 4],
      [channels * container, 2],
      [bits, 2],
    ],
    little,
  );
const chunk = (name: string, data: Uint8Array, little = true, stated = data.length) =>
  bytes([name, [stated, 4], data, ...(data.length % 2 ? ([[0, 1]] as const) : [])], little);
const riff = (chunks: readonly Uint8Array[], form = 'RIFF') => {
  const length = chunks.reduce((sum, c) => sum + c.length, 4);
  return bytes([form, [length, 4], 'WAVE', ...chunks], form !== 'RIFX');
};

const open = async (file: Uint8Array): Promise<Recording> => {
  const recording = await openWav(memorySource(file));
  if ('error' in recording) throw new Error(recording.error);
  return recording;
};
const samplesOf = async (file: Uint8Array) => {
  const recording = await open(file);
  return (await slice(recording, 0, recording.frames)).map((channel) => [...channel]);
};
const errorOf = async (file: Uint8Array) => {
  const recording = await openWav(memorySource(file));
  return 'error' in recording ? recording.error : null;
};

/** Little- or big-endian two's complement of whole numbers. */
const coded = (codes: readonly number[], size: number, little = true) =>
  Uint8Array.from(
    codes.flatMap((code) => {
      const each = Array.from({ length: size }, (_, k) => Number((BigInt(code) >> BigInt(8 * k)) & 255n));
      return little ? each : each.reverse();
    }),
  );

describe('integers are scaled by 2^(N−1) for both signs', () => {
  test.each([2, 3, 4, 5, 6])('%i bytes', async (size) => {
    const full = 2 ** (8 * size - 1);
    const codes = [0, 1, -1, full - 1, -full, full / 2, -full / 2];
    for (const little of [true, false]) {
      const file = riff(
        [fmt({ bits: 8 * size, little }), chunk('data', coded(codes, size, little), little)],
        little ? 'RIFF' : 'RIFX',
      );
      expect(await samplesOf(file)).toEqual([codes.map((code) => code / full)]);
    }
  });

  test('one byte is unsigned around 128', async () => {
    const file = riff([fmt({ bits: 8 }), chunk('data', Uint8Array.of(0, 64, 128, 192, 255))]);
    expect(await samplesOf(file)).toEqual([[-1, -0.5, 0, 0.5, 127 / 128]]);
  });

  test('a sample and its inverse null exactly, in every width', async () => {
    for (const size of [2, 3, 4]) {
      const codes = Array.from({ length: 50 }, (_, i) => Math.floor(Math.sin(i) * (2 ** (8 * size - 1) - 1)));
      const file = riff([
        fmt({ bits: 8 * size, channels: 2 }),
        chunk(
          'data',
          coded(
            codes.flatMap((code) => [code, -code]),
            size,
          ),
        ),
      ]);
      const [a, b] = await samplesOf(file);
      expect(a!.map((value, i) => value + b![i]!).every((value) => value === 0)).toBe(true);
    }
  });

  test('20 bits lie at the top of three bytes: the scale is the container’s', async () => {
    const file = riff([fmt({ bits: 20 }), chunk('data', coded([0x400000, -0x800000, 0x7ffff0], 3))]);
    const recording = await open(file);
    expect(await samplesOf(file)).toEqual([[0.5, -1, 1 - 2 ** -19]]);
    expect(recording.step).toBe(2 ** -19);
    expect(recording.channels[0]!.rails).toEqual({ low: -1, high: 1 - 2 ** -19, step: 2 ** -19 });
  });
});

test('floats of 32 and 64 bits, both byte orders; not-a-number is taken as 0 and said', async () => {
  const values = [0, 0.25, -1.5, 3.25e-3];
  for (const [bits, little] of [
    [32, true],
    [32, false],
    [64, true],
    [64, false],
  ] as const) {
    const data = new DataView(new ArrayBuffer((values.length * bits) / 8));
    values.forEach((value, i) => {
      if (bits === 32) data.setFloat32(4 * i, value, little);
      else data.setFloat64(8 * i, value, little);
    });
    const raw = new Uint8Array(data.buffer);
    const file = riff([fmt({ tag: 3, bits, little }), chunk('data', raw, little)], little ? 'RIFF' : 'RIFX');
    expect(await samplesOf(file)).toEqual([values.map((v) => (bits === 32 ? Math.fround(v) : v))]);
  }
  const data = new Uint8Array(Float32Array.of(0.5, Number.NaN, Number.POSITIVE_INFINITY, -0.5).buffer);
  const recording = await open(riff([fmt({ tag: 3, bits: 32 }), chunk('data', data)]));
  expect([...(await slice(recording, 0, 4))[0]!]).toEqual([0.5, 0, 0, -0.5]);
  expect(recording.warnings.map(({ what }) => what)).toEqual(['gaps']);
});

describe('companded (ITU-T G.711, tables 1 and 2: values from memory, checked against sox in tests/outside)', () => {
  test('µ-law: the ends and the middle', async () => {
    const file = riff([fmt({ tag: 7, bits: 8 }), chunk('data', Uint8Array.of(0x00, 0x80, 0xff, 0x7f, 0xef))]);
    expect((await samplesOf(file))[0]!.map((v) => v * 8192 + 0)).toEqual([-8031, 8031, 0, 0, 33]);
  });
  test('A-law: the ends and the middle', async () => {
    const file = riff([fmt({ tag: 6, bits: 8 }), chunk('data', Uint8Array.of(0x2a, 0xaa, 0xd5, 0x55))]);
    expect((await samplesOf(file))[0]!.map((v) => v * 4096)).toEqual([-4032, 4032, 1, -1]);
  });
});

describe('forms', () => {
  const data = coded([100, -100, 2000, -2000], 2);
  const expected = [[100, -100, 2000, -2000].map((code) => code / 32768)];

  test('extensible, with the sub-format in a GUID and fewer valid bits', async () => {
    const guid = bytes([[1, 2], [0, 2], [0, 2], [0x10, 2], Uint8Array.of(0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71)]);
    const body = bytes([[0xfffe, 2], [1, 2], [48000, 4], [96000, 4], [2, 2], [16, 2], [22, 2], [12, 2], [4, 4], guid]);
    const recording = await open(riff([chunk('fmt ', body), chunk('data', data)]));
    expect(recording.step).toBe(2 ** -11);
    expect(await samplesOf(riff([chunk('fmt ', body), chunk('data', data)]))).toEqual(expected);
  });

  test('chunks of odd length, padded or not, before, between and after', async () => {
    const odd = bytes(['LIST', [3, 4], 'abc']);
    const padded = bytes(['LIST', [3, 4], 'abc', [0, 1]]);
    const after = chunk('id3 ', Uint8Array.of(1, 2, 3));
    for (const extra of [odd, padded])
      expect(await samplesOf(riff([extra, fmt({}), extra, chunk('data', data), after]))).toEqual(expected);
  });

  test('data before fmt', async () => {
    expect(await samplesOf(riff([chunk('data', data), fmt({})]))).toEqual(expected);
  });

  test.each(['RF64', 'BW64'])('%s, its length in ds64', async (form) => {
    const ds64 = chunk(
      'ds64',
      bytes([
        [0xffffffff, 4],
        [0, 4],
        [data.length, 4],
        [0, 4],
        [4, 4],
        [0, 4],
        [0, 4],
      ]),
    );
    const trailing = chunk('LIST', new Uint8Array(20).fill(77));
    const file = riff([ds64, fmt({}), chunk('data', data, true, 0xffffffff), trailing], form);
    expect(await samplesOf(file)).toEqual(expected);
    expect((await open(file)).warnings).toEqual([]);
  });

  test('cut short: what is there is used, and said', async () => {
    const file = riff([fmt({}), chunk('data', data, true, 4000)]);
    const recording = await open(file);
    expect(recording.frames).toBe(4);
    expect(recording.warnings[0]).toMatchObject({ what: 'truncated' });
    expect(recording.warnings[0]!.text).toContain('cut short');
  });

  test.each([0, 0xffffffff])(
    'a header never completed (length %i): all to the end is used, and said',
    async (stated) => {
      const recording = await open(riff([fmt({}), chunk('data', new Uint8Array(400), true, stated)]));
      expect(recording.frames).toBe(200);
      expect(recording.warnings[0]).toMatchObject({ what: 'truncated' });
    },
  );

  test('cut inside a frame: whole frames are used', async () => {
    const recording = await open(riff([fmt({ channels: 2 }), chunk('data', new Uint8Array(10))]));
    expect(recording.frames).toBe(2);
    expect(recording.warnings.map(({ what }) => what)).toEqual(['header']);
  });

  test('read from any frame on, over block borders', async () => {
    const codes = Array.from({ length: 200_000 }, (_, i) => (i % 60000) - 30000);
    const recording = await open(riff([fmt({}), chunk('data', coded(codes, 2))]));
    for (const from of [0, 1, 65535, 65536, 131073, 199_999]) {
      const got = (await slice(recording, from, 70_000))[0]!;
      expect(got.length).toBe(Math.min(70_000, 200_000 - from));
      expect(got[0]).toBe(codes[from]! / 32768);
      expect(got.at(-1)).toBe(codes[from + got.length - 1]! / 32768);
    }
  });
});

describe('refused in words', () => {
  const data = chunk('data', new Uint8Array(64));
  test.each<[string, Uint8Array, RegExp]>([
    ['an empty file', new Uint8Array(0), /empty/],
    ['text', new TextEncoder().encode('Second,Volt\n0,1\n'), /not a WAV file/],
    ['another format', new TextEncoder().encode('fLaC............'), /FLAC/],
    ['a header cut short', new TextEncoder().encode('RIFF'), /cut short/],
    ['no format', riff([data]), /before it says how/],
    ['no data', riff([fmt({})]), /no samples/],
    ['data of no length at the end', riff([fmt({}), chunk('data', new Uint8Array(0))]), /no samples/],
    ['no channels', riff([fmt({ channels: 0 }), data]), /no channels/],
    ['a thousand channels', riff([fmt({ channels: 1000 }), data]), /1000 channels/],
    ['a rate of 0', riff([fmt({ rate: 0 }), data]), /0 Hz/],
    ['MP3 inside', riff([fmt({ tag: 0x55 }), data]), /MP3 \(format 0x0055\)/],
    ['ADPCM inside', riff([fmt({ tag: 2, bits: 4 }), data]), /ADPCM/],
    ['16-bit float', riff([fmt({ tag: 3, bits: 16 }), data]), /16-bit float/],
    ['a frame size that does not fit', riff([fmt({ bits: 24, container: 2 }), data]), /contradicts itself/],
  ])('%s', async (_, file, words) => {
    expect(await errorOf(file)).toMatch(words);
  });

  test('no damage to a header throws', async () => {
    const file = riff([
      chunk('LIST', new Uint8Array(5)),
      fmt({ channels: 2 }),
      chunk('fact', new Uint8Array(4)),
      chunk('data', new Uint8Array(64)),
    ]);
    const damage = fc.array(fc.tuple(fc.nat(file.length - 65), fc.nat(255)), { minLength: 1, maxLength: 4 });
    await fc.assert(
      fc.asyncProperty(damage, async (bytes) => {
        const damaged = file.slice();
        for (const [at, value] of bytes) damaged[at] = value;
        const opened = await openWav(memorySource(damaged));
        if ('error' in opened) expect(opened.error.length).toBeGreaterThan(8);
        else expect((await slice(opened, 0, opened.frames)).length).toBe(opened.channels.length);
      }),
      { numRuns: 2000 },
    );
  });

  test('no cut of a good file throws', async () => {
    const file = riff([chunk('LIST', new Uint8Array(5)), fmt({ channels: 2 }), chunk('data', new Uint8Array(64))]);
    for (let length = 0; length < file.length; length++) {
      const opened = await openWav(memorySource(file.slice(0, length)));
      if ('error' in opened) expect(opened.error).not.toBe('');
      else expect(opened.warnings.map(({ what }) => what)).toContain('truncated');
    }
  });
});

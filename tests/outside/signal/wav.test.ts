import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { measure } from '../../../server/src/signal/measure';
import { slice } from '../../../server/src/signal/recording';
import { memorySource } from '../../../server/src/signal/source';
import { openWav } from '../../../server/src/signal/wav';
import { outside } from '../../harness/outside';

const read = async (path: string) => {
  const recording = await openWav(memorySource(readFileSync(path)));
  return 'error' in recording ? recording : { recording, samples: await slice(recording, 0, recording.frames) };
};

interface FromScipy {
  readonly rate?: number;
  readonly channels?: number[][];
  readonly error?: string;
}

/** scipy.io.wavfile.read on every file: integers scaled by its dtype, unsigned bytes moved to 0, floats as they are. */
const script = `
import json, sys, warnings, numpy as np
from scipy.io import wavfile
out = {}
for path in sys.argv[1:]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter('ignore')
            rate, data = wavfile.read(path)
        x = data.reshape(len(data), -1).astype(np.longdouble)
        if data.dtype.kind == 'u': x = (x - 128) / 128
        elif data.dtype.kind == 'i': x = x / np.longdouble(2) ** (8 * data.dtype.itemsize - 1)
        out[path] = {'rate': rate, 'channels': [[float(v) for v in c] for c in x.T]}
    except Exception as e:
        out[path] = {'error': str(e)}
print(json.dumps(out))
`;

outside.suite(['scipy', 'scipy-wavs'], 'scipy’s own WAV conformance files', () => {
  const folder = outside.wavFolder();
  const paths = readdirSync(folder)
    .filter((name) => name.endsWith('.wav'))
    .map((name) => join(folder, name));
  const theirs: Record<string, FromScipy> = JSON.parse(outside.python(script, { args: paths }));
  /** What scipy does not read, and what we say or do. */
  const apart: Record<string, RegExp | 'read'> = {
    'early-eof-no-data': /no samples/,
    'incomplete-chunk': /before it says how/,
    inconsistent: /contradicts itself/,
    '1byte-ulaw': 'read',
  };

  test('there are some twenty of them', () => expect(paths.length).toBeGreaterThan(18));

  test.each(paths.map((path) => [path.split('/').at(-1)!, path]))('%s', async (name, path) => {
    const ours = await read(path);
    const known = theirs[path]!;
    const exception = Object.entries(apart).find(([part]) => name.includes(part))?.[1];
    if (known.error !== undefined) {
      expect(exception, `scipy says: ${known.error}`).toBeDefined();
      if (exception instanceof RegExp) expect('error' in ours && ours.error).toMatch(exception);
      else expect('error' in ours).toBe(false);
      return;
    }
    if ('error' in ours) throw new Error(ours.error);
    expect(ours.recording.rate).toBe(known.rate);
    expect(ours.samples.map((channel) => [...channel])).toEqual(known.channels);
    expect(ours.recording.warnings.some(({ what }) => what === 'truncated')).toBe(name.includes('early-eof'));
  });
});

outside.suite(['sox', 'alsa-voices'], 'sox', () => {
  const folder = mkdtempSync(join(tmpdir(), 'buzzout-wav-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const voice = outside.voice('Front_Left');
  const made = (name: string, options: string[], effects: string[] = []) => {
    const path = join(folder, name);
    const ran = outside.run('sox', ['-D', voice, ...options, path, ...effects]);
    if (ran.status !== 0) throw new Error(ran.stderr);
    return path;
  };

  test.each([
    ['mu-law', ['-e', 'mu-law']],
    ['a-law', ['-e', 'a-law']],
    ['8 bit', ['-b', '8', '-e', 'unsigned-integer']],
    ['24 bit', ['-b', '24']],
    ['24 bit, big-endian', ['-b', '24', '-B']],
    ['32 bit', ['-b', '32']],
    ['float', ['-b', '32', '-e', 'floating-point']],
    ['double', ['-b', '64', '-e', 'floating-point']],
  ])('every sample of %s as sox decodes it', async (name, options) => {
    const path = made(`${name.replaceAll(' ', '-')}.wav`, options);
    const decoded = outside.run('sox', [path, '-t', 'raw', '-e', 'floating-point', '-b', '64', '-L', '-']).bytes;
    const expected = new Float64Array(decoded.buffer.slice(decoded.byteOffset, decoded.byteOffset + decoded.length));
    const ours = await read(path);
    if ('error' in ours) throw new Error(ours.error);
    expect(ours.recording.frames).toBe(expected.length);
    expect(ours.samples[0]).toEqual(expected);
  });

  test.each(['Front_Left', 'Noise', 'Rear_Center'])(
    'RMS, peak and mean of %s equal sox’s to its printed digits',
    async (name) => {
      const path = outside.voice(name);
      const said = outside.run('sox', [path, '-n', 'stat']).stderr;
      const of = (label: string) => Number(new RegExp(`${label}:\\s*(-?[\\d.]+)`).exec(said)?.[1]);
      const outcome = await measure(memorySource(readFileSync(path)), { format: 'wav' });
      if ('error' in outcome) throw new Error(outcome.error);
      const [channel] = outcome.figures.channels;
      expect(channel!.max).toBeCloseTo(of('Maximum amplitude'), 6);
      expect(channel!.min).toBeCloseTo(of('Minimum amplitude'), 6);
      expect(channel!.dc).toBeCloseTo(of('Mean    amplitude'), 6);
      // sox counts DC into its RMS.
      expect(Math.hypot(channel!.rms, channel!.dc)).toBeCloseTo(of('RMS     amplitude'), 6);
    },
  );

  test('sox stats: pk lev, RMS lev and DC offset of a stereo file, and flat factor of a clipped one', async () => {
    const path = made('loud.wav', [], ['gain', '20']);
    const said = outside.run('sox', [path, '-n', 'stats']).stderr;
    const of = (label: string) => Number(new RegExp(`${label}\\s+(-?[\\d.]+)`).exec(said)?.[1]);
    const outcome = await measure(memorySource(readFileSync(path)), { format: 'wav' });
    if ('error' in outcome) throw new Error(outcome.error);
    const [channel] = outcome.figures.channels;
    expect(20 * Math.log10(channel!.peak)).toBeCloseTo(of('Pk lev dB'), 2);
    expect(20 * Math.log10(Math.hypot(channel!.rms, channel!.dc))).toBeCloseTo(of('RMS lev dB'), 2);
    expect(of('Flat factor')).toBeGreaterThan(0);
    expect(channel!.clipped).toBeGreaterThan(0);
  });
});

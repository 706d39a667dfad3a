import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { coherence } from '../../../server/src/signal/coherence';
import { Welch } from '../../../server/src/signal/welch';
import type { WindowName } from '../../../server/src/signal/windows';
import { outside } from '../../harness/outside';
import { decoded } from './reading';

/** scipy.signal's welch, csd and coherence of two channels, and the frequencies. */
function scipy(a: Float64Array, b: Float64Array, rate: number, segment: number, window: string, hop: number) {
  const folder = mkdtempSync(join(tmpdir(), 'buzzout-'));
  const [x, y, out] = ['x', 'y', 'out'].map((name) => join(folder, name)) as [string, string, string];
  writeFileSync(x, new Uint8Array(a.buffer, a.byteOffset, a.byteLength));
  writeFileSync(y, new Uint8Array(b.buffer, b.byteOffset, b.byteLength));
  outside.python(
    `
import sys, numpy as np
from scipy import signal
x, y = np.fromfile(sys.argv[1]), np.fromfile(sys.argv[2])
how = dict(fs=${rate}, window='${window}', nperseg=${segment}, noverlap=${segment - hop})
f, pxx = signal.welch(x, **how)
_, pyy = signal.welch(y, **how)
_, pxy = signal.csd(x, y, **how)
_, c = signal.coherence(x, y, **how)
np.concatenate([f, pxx, pyy, pxy.real, pxy.imag, c]).tofile(sys.argv[3])
`,
    { args: [x, y, out] },
  );
  const bytes = readFileSync(out);
  rmSync(folder, { recursive: true });
  const all = new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
  const bins = segment / 2 + 1;
  return [0, 1, 2, 3, 4, 5].map((i) => all.subarray(i * bins, (i + 1) * bins));
}

/** Largest difference relative to the largest magnitude. */
function farthest(ours: Float64Array, theirs: Float64Array): number {
  const scale = theirs.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return ours.reduce((most, value, k) => Math.max(most, Math.abs(value - theirs[k]!)), 0) / scale;
}

const samples = [
  'loop_amen_full',
  'loop_tabla',
  'bass_thick_c',
  'loop_amen',
  'guit_em9',
  'ambi_lunar_land',
  'vinyl_hiss',
  'perc_bell',
];

outside.suite(
  ['scipy', 'sox', 'flac', 'sonic-samples', 'alsa-voices'],
  'welch, csd and coherence equal scipy.signal to 1e-9 of the largest value',
  () => {
    const compare = (
      a: Float64Array,
      b: Float64Array,
      rate: number,
      segment: number,
      window: WindowName,
      hop: number,
    ) => {
      const [f, pxx, pyy, re, im, c] = scipy(a, b, rate, segment, window === 'hann' ? 'hann' : 'blackmanharris', hop);
      const welch = new Welch(2, rate, { segment, window, hop });
      // Pieces of uneven length, as a reader may give them.
      for (let at = 0, take = 1; at < a.length; at += take, take = (take * 7 + 13) % 5003)
        welch.push([a.subarray(at, at + take), b.subarray(at, at + take)]);
      const spectra = welch.result();
      const cross = spectra.cross(0, 1);
      expect(f![1]).toBeCloseTo(spectra.binWidth, 9);
      expect(farthest(spectra.auto[0]!, pxx!)).toBeLessThan(1e-9);
      expect(farthest(spectra.auto[1]!, pyy!)).toBeLessThan(1e-9);
      expect(Math.hypot(farthest(cross.re, re!), farthest(cross.im, im!))).toBeLessThan(1e-9);
      // Where a bin holds nothing but rounding (digital black, bin 0 after detrending) coherence is a quotient of two of them.
      const floor = 1e-18 * pxx!.reduce((most, value) => Math.max(most, value), 0);
      const ours = coherence(spectra, 0, 1).map((value, k) =>
        pxx![k]! > floor && pyy![k]! > floor && k > 0 ? value : 0,
      );
      expect(
        farthest(
          ours,
          c!.map((value, k) => (pxx![k]! > floor && pyy![k]! > floor && k > 0 ? value : 0)),
        ),
      ).toBeLessThan(1e-9);
      const turned = spectra.cross(1, 0);
      expect(turned.im[9]).toBe(-cross.im[9]!);
    };

    test.each(samples)('on %s', (name) => {
      const { rate, channels } = decoded(outside.sample(name));
      compare(channels[0]!, channels[1]!, rate, 4096, 'hann', 2048);
    });

    test('on two spoken voices, another window, another overlap, another length', () => {
      const a = decoded(outside.voice('Front_Left'));
      const b = decoded(outside.voice('Front_Right')).channels[0]!;
      const length = Math.min(a.channels[0]!.length, b.length);
      compare(a.channels[0]!.slice(0, length), b.slice(0, length), a.rate, 2048, 'blackman-harris', 683);
    });
  },
);

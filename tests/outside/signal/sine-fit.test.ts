import { expect, test } from 'vitest';
import { distortionOf } from '../../../server/src/signal/distortion';
import { findTone } from '../../../server/src/signal/find-tone';
import { outside } from '../../harness/outside';
import { noiseOf, sine, sum } from '../../signal/make';

const rate = 48000;
const records = [
  { frequency: 997, amplitude: 0.5, phase: 0.3, dc: 0.01, noise: 1e-3, frames: 4800 },
  { frequency: 61.3, amplitude: 0.02, phase: -2, dc: 1, noise: 1e-3, frames: 2400 },
  { frequency: 18_765.4, amplitude: 0.9, phase: 3, dc: -0.2, noise: 0.05, frames: 10_007 },
  { frequency: 400, amplitude: 0.1, phase: 1, dc: 0, noise: 0.05, frames: 300 },
].map((made, i) => ({
  ...made,
  samples: sum(sine({ rate, ...made }), noiseOf(100 + i, made.frames, made.noise)),
}));

/** scipy.optimize.curve_fit: another algorithm (Levenberg–Marquardt on four non-linear parameters) for the same least squares. */
const script = `
import json, sys, numpy as np
from scipy.optimize import curve_fit
out = []
for r in json.load(sys.stdin):
    y = np.array(r['samples']); t = np.arange(len(y)) / ${rate}
    model = lambda t, f, a, p, c: a * np.sin(2 * np.pi * f * t + p) + c
    p, cov = curve_fit(model, t, y, p0=[r['frequency'], r['amplitude'], r['phase'], r['dc']], xtol=1e-15, ftol=1e-15, gtol=1e-15)
    out.append({'p': p.tolist(), 'sd': np.sqrt(np.diag(cov)).tolist(), 'rms': float(np.sqrt(np.mean((model(t, *p) - y) ** 2)))})
print(json.dumps(out))
`;

outside.suite(['scipy'], 'the four-parameter fit equals scipy’s curve fit', () => {
  const input = JSON.stringify(records.map((record) => ({ ...record, samples: [...record.samples] })));
  const theirs: { p: number[]; sd: number[]; rms: number }[] = JSON.parse(outside.python(script, { input }));
  test.each(records.map((record, i) => [record.frequency, i]))('%f Hz', (_, i) => {
    const fit = findTone(records[i]!.samples)!;
    const { p, sd, rms } = theirs[i]!;
    const hertz = rate / (2 * Math.PI);
    const ours = [fit.omega * hertz, fit.amplitude, fit.phase, fit.offset];
    const said = [fit.sd.omega * hertz, fit.sd.amplitude, fit.sd.phase, fit.sd.offset];
    ours.forEach((value, k) => {
      // The same minimum: within a thousandth of its own uncertainty, which is how far the other search goes.
      expect(Math.abs(value - p[k]!) / sd[k]!).toBeLessThan(1e-3);
      // Its covariance counts the record's own phase, ours is the bound for many periods: one period in ten differs by percents.
      expect(said[k]! / sd[k]!).toBeGreaterThan(0.9);
      expect(said[k]! / sd[k]!).toBeLessThan(1.1);
    });
    expect(fit.residual / rms).toBeCloseTo(1, 9);
  });
});

/** Another way to harmonics: a whole number of periods, a plain transform, no fit at all. */
const spectral = `
import json, sys, numpy as np
y = np.array(json.load(sys.stdin)); y = y - y.mean()
s = np.abs(np.fft.rfft(y)) ** 2
k = 997
h = [s[m * k] for m in range(1, 11)]
total = s[1:].sum() - s[-1] / 2
print(json.dumps({
  'thd': 10 * np.log10(sum(h[1:]) / h[0]),
  'sinad': 10 * np.log10(h[0] / (total - h[0])),
  'snr': 10 * np.log10(h[0] / (total - sum(h))),
  'levels': [10 * np.log10(v / h[0]) for v in h[1:]],
}))
`;

outside.suite(['scipy'], 'distortion figures equal those of numpy’s transform over whole periods', () => {
  test('a clipped, skewed tone in noise, one second of 997 Hz', () => {
    const clean = sine({ rate, frames: rate, frequency: 997, amplitude: 0.8, phase: 0.7 });
    const bent = clean.map((x) => Math.max(-0.6, Math.min(0.7, x + 0.03 * x * x)));
    const samples = sum(bent, noiseOf(9, rate, 1e-3));
    const theirs = JSON.parse(outside.python(spectral, { input: JSON.stringify([...samples]) }));
    const found = distortionOf(samples, findTone(samples)!, 2)!;
    expect(found.thd).toBeCloseTo(theirs.thd, 3);
    expect(found.sinad).toBeCloseTo(theirs.sinad, 3);
    expect(found.snr).toBeCloseTo(theirs.snr, 2);
    found.harmonicLevels.forEach((level, i) => {
      if (level > -60) expect(level).toBeCloseTo(theirs.levels[i], 1);
    });
  });
});

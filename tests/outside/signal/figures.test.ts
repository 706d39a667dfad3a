import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import type { RecordingFigures, Stimulus } from '../../../server/src/signal/figures';
import { measure } from '../../../server/src/signal/measure';
import { memorySource } from '../../../server/src/signal/source';
import { outside } from '../../harness/outside';

/**
 * Random recordings and every figure of them by other means: design matrices and a general optimiser instead of closed forms, one
 * transform of the whole record instead of averaged segments, poles by scipy.signal.freqs_zpk, the delay from an interpolated
 * cross-correlation. The BS.468 meter: resampled by scipy, filtered at once, its rectifiers as a plain loop.
 */
const script = `
import json, sys
import numpy as np
from scipy import optimize, signal
from scipy.io import wavfile
folder = sys.argv[1]
rng = np.random.default_rng(20261125)
out = []
db = lambda x: 20 * np.log10(x)

def lstsq(t, x, f, order):
    cols = [np.ones_like(t)]
    for k in range(1, order + 1):
        cols += [np.cos(2 * np.pi * k * f * t), np.sin(2 * np.pi * k * f * t)]
    m = np.stack(cols, 1)
    c, *_ = np.linalg.lstsq(m, x, rcond=None)
    return c, x - m @ c

def tones(k):
    fs = int(rng.choice([44100, 48000, 96000, 192000]))
    n = int(rng.uniform(8000, 16000))
    t = np.arange(n) / fs
    f = rng.uniform(150, 3000)
    a = 10 ** (rng.uniform(-30, -1) / 20)
    x = a * np.sin(2 * np.pi * f * t + rng.uniform(-3, 3)) + rng.uniform(-0.02, 0.02)
    for h in range(2, 8):
        x += a * 10 ** (rng.uniform(-90, -40) / 20) * np.sin(2 * np.pi * h * f * t + rng.uniform(-3, 3))
    sigma = a * 10 ** (rng.uniform(-90, -40) / 20)
    x += sigma * rng.standard_normal(n)
    y = 0.5 * a * np.sin(2 * np.pi * f * t + rng.uniform(-3, 3)) + sigma * rng.standard_normal(n)
    order = min(10, int((fs / 2 - fs / n) / f))
    start = (np.argmax(np.abs(np.fft.rfft((x - x.mean()) * np.hanning(n), 8 * n)))) * fs / (8 * n)
    # f by minimising the residual of the whole model, in hertz about the start.
    cost = lambda d: np.sum(lstsq(t, x, start + d, order)[1] ** 2)
    width = fs / n / 8
    found = optimize.minimize_scalar(cost, bounds=(-width, width), method='bounded', options={'xatol': 1e-7})
    f0 = start + found.x
    c, rest = lstsq(t, x, f0, order)
    power = [(c[2 * k - 1] ** 2 + c[2 * k] ** 2) / 2 for k in range(1, order + 1)]
    noise = np.mean(rest ** 2)
    nad = sum(power[1:]) + noise
    cy, _ = lstsq(t, y, f0, 1)
    turn = np.angle(np.exp(1j * (np.arctan2(cy[1], cy[2]) - np.arctan2(c[1], c[2]))), deg=True)
    path = f'{folder}/tone{k}.wav'
    wavfile.write(path, fs, np.stack([x, y], 1))
    out.append(dict(kind='tone', path=path, f=f0, a=np.sqrt(2 * power[0]), dc=x.mean(), rms=x.std(), peak=np.abs(x).max(),
        thd=10 * np.log10(sum(power[1:]) / power[0]), thdn=10 * np.log10(nad / (nad + power[0])), order=order,
        sinad=10 * np.log10(power[0] / nad), snr=10 * np.log10(power[0] / noise), enob=np.log2(2 / np.sqrt(12 * nad)), turn=turn))

def weighted(spec, freqs, zpk, unity):
    h = np.abs(signal.freqs_zpk(*zpk, 2 * np.pi * freqs)[1]) / np.abs(signal.freqs_zpk(*zpk, [2 * np.pi * unity])[1])
    return np.sum(spec * h ** 2)

p = -2 * np.pi * np.array([20.598997057618316, 107.65264864304629, 737.8622307362901, 12194.217147998012])
A = ([0, 0, 0, 0], [p[0], p[0], p[1], p[2], p[3], p[3]], 1)
# BS.468: poles of the network, as roots of its polynomial in s = j 2 pi f.
h1, h2 = [1, 0, -1.363894795463638e-7, 0, 2.043828333606125e-15, 0, -4.737338981378384e-24], [0, 5.559488023498642e-4, 0, -2.118150887518656e-11, 0, 1.306612257412824e-19, 0]
poly = [(a + 1j * b) / (2j * np.pi) ** k for k, (a, b) in enumerate(zip(h1, h2))]
B = ([0], np.roots(poly[::-1]), 1)

def meter(x, fs):
    up = 4 if fs < 80000 else 2
    n = len(x)
    fine = signal.resample(x - x[0], n * up)
    f = np.fft.rfftfreq(n * up, 1 / (fs * up))
    with np.errstate(all='ignore'): h = signal.freqs_zpk(*B, 2 * np.pi * f)[1]
    h = h / np.abs(signal.freqs_zpk(*B, [2 * np.pi * 1000])[1])
    wave = np.abs(np.fft.irfft(np.fft.rfft(fine) * h, n * up))
    def run(wave):
        a, b, c, d = 1 - np.exp(-1 / (fs * up * 1.454e-3)), np.exp(-1 / (fs * up * 0.2927)), 1 - np.exp(-1 / (fs * up * 0.2391)), np.exp(-1 / (fs * up * 0.3443))
        first = second = top = 0.0
        for v in wave.tolist():
            first *= b
            if v > first: first += a * (v - first)
            second *= d
            if first > second: second += c * (first - second)
            if second > top: top = second
        return top
    return run(wave) / run(np.abs(np.sin(2 * np.pi * 1000 * np.arange(2 * fs * up) / (fs * up)))) / np.sqrt(2)

def noises(k):
    fs = int(rng.choice([44100, 48000]))
    n = int(fs * rng.uniform(1.5, 2.5))
    # Coloured by a random gentle filter; longer than needed, then cut.
    colour = signal.butter(2, rng.uniform(2000, 12000), fs=fs)
    base = signal.lfilter(*colour, rng.standard_normal(n + 2000)) * 10 ** (rng.uniform(-50, -15) / 20)
    d = rng.uniform(-25, 25)
    size = 1 << (n + 2000 - 1).bit_length()
    f = np.fft.rfftfreq(size, 1 / fs)
    late = np.fft.irfft(np.fft.rfft(base, size) * np.exp(-2j * np.pi * f * d / fs), size)
    share = rng.uniform(0.2, 1)
    x = base[1000:1000 + n] + 0.003
    y = rng.choice([-1, 1]) * rng.uniform(0.3, 1) * (late[1000:1000 + n] + share * signal.lfilter(*colour, rng.standard_normal(n)) * base.std() / 0.8)
    spec = np.abs(np.fft.rfft(x - x.mean())) ** 2 / n ** 2 * 2
    freqs = np.fft.rfftfreq(n, 1 / fs)
    inside = (freqs >= 20) & (freqs <= 20000)
    flat = spec[inside].sum()
    aw = weighted(spec[inside], freqs[inside], A, 1000)
    cw = weighted(spec[inside], freqs[inside], B, 2000)
    fr, coh = signal.coherence(x, y, fs, nperseg=8192)
    _, px = signal.welch(x, fs, nperseg=8192)
    _, py = signal.welch(y, fs, nperseg=8192)
    w = np.sqrt(px * py) * (fr >= 20)
    # Peak of the cross-correlation over 16 times finer lags.
    cross = np.conj(np.fft.rfft(x - x.mean(), 2 * n)) * np.fft.rfft(y - y.mean(), 2 * n)
    lags = np.abs(np.fft.irfft(cross, 32 * n))
    at = int(np.argmax(lags))
    near = lags[[at - 1, at, (at + 1) % len(lags)]]
    at += 0.5 * (near[0] - near[2]) / (near[0] - 2 * near[1] + near[2])
    if at > 16 * n: at -= 32 * n
    path = f'{folder}/noise{k}.wav'
    wavfile.write(path, fs, np.stack([x, y], 1))
    out.append(dict(kind='noise', path=path, dc=x.mean(), rms=x.std(), peak=np.abs(x).max(), flat=10 * np.log10(2 * flat),
        A=10 * np.log10(2 * aw), ccir=10 * np.log10(2 * cw), meter=db(meter(x, fs) * np.sqrt(2)) if k == 0 else None,
        rho=np.corrcoef(x, y)[0, 1], balance=db(y.std() / x.std()), coherence=np.sum(w * coh) / np.sum(w), delay=at / 16 / fs, played=d / fs,
        mid=((x + y) / 2).std(), side=((x - y) / 2).std()))

for k in range(8): tones(k)
for k in range(6): noises(k)
print(json.dumps(out, default=float))
`;

type Theirs = Record<string, number> & { readonly kind: string; readonly path: string; readonly meter: number | null };

outside.suite(['scipy'], 'random recordings, reckoned in another way', () => {
  const folder = mkdtempSync(join(tmpdir(), 'buzzout-figures-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const theirs: Theirs[] = JSON.parse(outside.python(script, { args: [folder] }));
  const figures = async (path: string, stimulus: Stimulus | null): Promise<RecordingFigures> => {
    const outcome = await measure(memorySource(readFileSync(path)), { format: 'wav', stimulus });
    if ('error' in outcome) throw new Error(outcome.error);
    return outcome.figures;
  };
  const named = (kind: string) =>
    theirs.filter((one) => one.kind === kind).map((one) => [one.path.split('/').at(-1)!, one] as const);
  const near = (ours: number | null | undefined, other: number | null, within: number) => {
    expect(ours).toBeTypeOf('number');
    expect(Math.abs(ours! - other!)).toBeLessThan(within);
  };

  test.each(named('tone'))('%s: sine, distortion, levels', async (_, one) => {
    const { channels, pairs } = await figures(one.path, null);
    const [channel] = channels;
    near(channel!.dc, one.dc!, 1e-12);
    near(channel!.rms, one.rms!, 1e-12);
    near(channel!.peak, one.peak!, 1e-15);
    near(channel!.tone!.frequency, one.f!, 1e-4);
    near(channel!.tone!.amplitude, one.a!, 1e-7);
    expect(channel!.harmonics).toBe(one.order);
    near(channel!.thd, one.thd!, 1e-3);
    near(channel!.thdn, one.thdn!, 1e-3);
    near(channel!.sinad, one.sinad!, 1e-3);
    near(channel!.snr, one.snr!, 1e-3);
    near(channel!.enob, one.enob!, 1e-3);
    near(pairs[0]!.phase, one.turn!, 0.02);
  });

  test.each(named('noise'))('%s: noise, correlation, coherence, delay', async (_, one) => {
    const [channel] = (await figures(one.path, { kind: 'silence' })).channels;
    near(channel!.dc, one.dc!, 1e-12);
    near(channel!.rms, one.rms!, 1e-12);
    near(channel!.peak, one.peak!, 1e-15);
    // Averaged segments weigh the record's ends less than one transform of all of it.
    near(channel!.noise!.flat, one.flat!, 0.05);
    near(channel!.noise!.A, one.A!, 0.05);
    near(channel!.noise!.ccirRms, one.ccir!, 0.05);
    if (one.meter !== null) near(channel!.noise!.bs468!.highest, one.meter, 0.02);
    const [pair] = (await figures(one.path, { kind: 'noise', side: 'both' })).pairs;
    near(pair!.correlation, one.rho!, 1e-12);
    near(pair!.balance, one.balance!, 1e-9);
    near(pair!.mid, one.mid!, 1e-12);
    near(pair!.side, one.side!, 1e-12);
    near(pair!.coherence, one.coherence!, 0.03);
    near(pair!.delay, one.delay!, 1e-6);
    near(pair!.delay, one.played!, 1e-6);
  });
});

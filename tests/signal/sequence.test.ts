import { describe, expect, test } from 'vitest';
import { mixes, type OutputCase, seen } from '../../server/src/signal/output-cases';
import { parts, renderSequence, sequenceSeconds, signs } from '../../server/src/signal/sequence';
import { type FoundSequence, findSequence } from '../../server/src/signal/sequence-finder';
import { stereoTable } from '../../server/src/signal/stereo-measure';
import type { StereoTable } from '../../server/src/signal/stereo-table';
import { noiseOf, sum, times } from './make';

type Two = [Float64Array, Float64Array];

const played = renderSequence(48000, -12);

/** A recorder's own noise on its two inputs, long enough for every capture. */
const hiss = [noiseOf(50, 3_200_000), noiseOf(51, 3_200_000)];

interface Capture {
  readonly rate?: number;
  /** Recorder's clock against the player's. */
  readonly ppm?: number;
  readonly leadIn?: number;
  readonly gain?: number;
  /** RMS, against the tone's. */
  readonly noiseDb?: number;
  readonly mix?: readonly [number, number, number, number];
  /** Seconds left out at the start and at the end. */
  readonly cutStart?: number;
  readonly cutEnd?: number;
  /** Done to the channels after the mix, at 48 kHz. */
  readonly also?: (channels: Two) => Two;
}

/** What a recorder at `rate`, whose clock is off, makes of it: band-limited interpolation, gain, noise. */
function captured(how: Capture): { channels: Two; rate: number } {
  const { rate = 48000, ppm = 0, leadIn = 0, gain = 1, noiseDb, mix = [1, 0, 0, 1], also } = how;
  const [a, b, c, d] = mix;
  const [left, right] = played;
  const mixed = (l: number, r: number) => left.map((value, n) => l * value + r * right[n]!);
  let channels: Two = [mixed(a, b), mixed(c, d)];
  if (also) channels = also(channels);
  const step = 48000 / (rate * (1 + ppm * 1e-6));
  const frames = Math.floor(left.length / step) + Math.round(leadIn * rate);
  const rms = (10 ** (-12 / 20) / Math.SQRT2) * gain;
  channels = channels.map((channel, i) => {
    const even = rate === 48000 && ppm === 0 ? channel : interpolated(channel, step);
    const out = new Float64Array(frames);
    out.set(even.subarray(0, frames), frames - Math.min(frames, even.length));
    const level = noiseDb === undefined ? 0 : rms * 10 ** (noiseDb / 20);
    for (let n = 0; n < frames; n++) out[n] = out[n]! * gain + level * hiss[i]![n]!;
    return out.slice(Math.round((how.cutStart ?? 0) * rate), frames - Math.round((how.cutEnd ?? 0) * rate));
  }) as Two;
  return { channels, rate };
}

/** x at n·step, by a windowed sinc that is also the low-pass a coarser rate needs. */
function interpolated(x: Float64Array, step: number): Float64Array {
  const half = 32;
  const phases = 1024;
  const band = Math.min(1, 1 / step) * 0.95;
  const table = Float64Array.from({ length: 2 * half * phases + 2 }, (_, i) => {
    const t = i / phases - half;
    const sinc = t === 0 ? band : Math.sin(Math.PI * band * t) / (Math.PI * t);
    return sinc * (0.42 + 0.5 * Math.cos((Math.PI * t) / half) + 0.08 * Math.cos((2 * Math.PI * t) / half));
  });
  return Float64Array.from({ length: Math.floor(x.length / step) }, (_, n) => {
    const at = n * step;
    const first = Math.ceil(at - half);
    let y = 0;
    for (let m = first; m < first + 2 * half; m++) {
      const place = (m - at + half) * phases;
      const i = place | 0;
      const weight = table[i]! + (place - i) * (table[i + 1]! - table[i]!);
      y += (x[m] ?? 0) * weight;
    }
    return y;
  });
}

async function taken(how: Capture): Promise<{ found: FoundSequence; table: StereoTable }> {
  const { channels, rate } = captured(how);
  const result = await findSequence(channels, rate);
  if ('error' in result) throw new Error(result.error);
  return { found: result.found, table: stereoTable(result.found, channels, rate)! };
}

const row = (table: StereoTable, part: string) => table.rows.find((one) => one.part === part)!;

describe('the recording as written', () => {
  test('chirps one side after the other at both ends, then what tells the sides apart', () => {
    expect(parts.map(({ name }) => name)).toEqual([
      'open-left',
      'open-right',
      'left',
      'right',
      'both',
      'opposed',
      'low-left',
      'low-right',
      'unlike',
      'silence',
      'close-right',
      'close-left',
    ]);
    const tonesPlayed = new Set(parts.map(({ stimulus }) => stimulus.tone).filter((tone) => tone !== undefined));
    expect([...tonesPlayed]).toEqual([997, 61]);
    expect(sequenceSeconds).toBeLessThan(30);
  });

  test.each([44100, 48000, 96000])('at %i Hz holds in each part just what it says, and never clips', (rate) => {
    const [left, right] = renderSequence(rate, -12);
    expect(left.length).toBe(Math.round(sequenceSeconds * rate));
    const rms = (x: Float64Array) => Math.sqrt(x.reduce((total, value) => total + value * value, 0) / x.length);
    for (const { stimulus, from, to } of parts) {
      const inside = (x: Float64Array) => rms(x.subarray((from + 0.02) * rate, (to - 0.02) * rate));
      const [l, r] = stimulus.side ? signs[stimulus.side] : [0, 0];
      const level = 10 ** (-12 / 20) / Math.SQRT2;
      for (const [x, sign] of [
        [left, l],
        [right, r],
      ] as const)
        if (sign === 0) expect(inside(x)).toBe(0);
        else expect(Math.abs(20 * Math.log10(inside(x) / level))).toBeLessThan(0.15);
    }
    // Clear of full scale, the noise too.
    for (const x of [left, right])
      expect(x.reduce((most, value) => Math.max(most, Math.abs(value)), 0)).toBeLessThan(0.6);
    const loud = renderSequence(rate, -3)[0].reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    expect(loud).toBeLessThan(0.97);
  });
});

describe('found, timed and aligned', () => {
  // What the capture does, and what must come out whatever it does.
  const cases: [string, Capture][] = [
    ['as played', {}],
    ['40 dB down', { gain: 0.01 }],
    ['inverted', { mix: [-1, 0, 0, -1] }],
    ['with sides swapped', { mix: [0, 1, 1, 0] }],
    ['with the left dead', { mix: [0, 0, 0, 1] }],
    ['with the right dead', { mix: [1, 0, 0, 0] }],
    ['after 7.3 s of silence', { leadIn: 7.3 }],
    ['with a clock 200 ppm fast', { ppm: 200 }],
    ['with a clock 200 ppm slow', { ppm: -200 }],
    ['in noise 20 dB below the tone', { noiseDb: -20 }],
    ['at 44.1 kHz', { rate: 44100 }],
    ['at 96 kHz', { rate: 96000 }],
    ['through an open return', { mix: [0.5, -0.5, -0.5, 0.5] }],
    ['summed to mono', { mix: [0.5, 0.5, 0.5, 0.5] }],
    ['all at once', { rate: 44100, ppm: 200, leadIn: 3.1, gain: 0.05, noiseDb: -20, mix: [0, -1, 1, 0] }],
    [
      'all at once through an open return',
      { rate: 96000, ppm: -200, leadIn: 1, noiseDb: -20, mix: [0.5, -0.5, -0.5, 0.5] },
    ],
    ['all at once with a dead side', { rate: 44100, ppm: -150, leadIn: 2, noiseDb: -20, mix: [1, 0, 0, 0] }],
  ];

  test.each(cases)('%s', async (_, how) => {
    const { found, table } = await taken(how);
    const { rate = 48000, ppm = 0, leadIn = 0, noiseDb, mix = [1, 0, 0, 1] } = how;
    // Noise moves the start by microseconds; a whole part is measured from it.
    expect(Math.abs(found.start / rate - leadIn)).toBeLessThan(noiseDb ? 20e-6 : 3e-6);
    expect(Math.abs(found.drift! - ppm)).toBeLessThan(noiseDb ? 1.5 : 0.2);
    expect(Math.abs(found.drift! - ppm)).toBeLessThan(5 * found.driftSd!);
    expect(found.parts.map(({ name }) => name)).toEqual(parts.map(({ name }) => name));
    const dead = mix[0] === 0 && mix[2] === 0 ? 'left' : mix[1] === 0 && mix[3] === 0 ? 'right' : null;
    expect(found.marks).toBe(dead ? 2 : 4);
    if (dead) expect(found.rightLate).toBeNull();
    else expect(Math.abs(found.rightLate!)).toBeLessThan(noiseDb ? 20e-6 : 3e-6);
    expect(row(table, dead === 'left' ? 'right' : 'left').frequency).toBeCloseTo(997 / (1 + ppm * 1e-6), 2);
  });

  test('cut off at the end: sync at the start alone, the parts that are there', async () => {
    const { found, table } = await taken({ cutEnd: 6, ppm: 80 });
    expect(found.marks).toBe(2);
    // By the tone itself then.
    expect(found.drift).toBeCloseTo(80, 0);
    expect(found.parts.map(({ name }) => name)).toEqual(parts.slice(0, 8).map(({ name }) => name));
    expect(table.found).toEqual(['as-designed']);
    expect(table.noise).toBeNull();
  });

  test('begun too late: sync at the end alone', async () => {
    const { found, table } = await taken({ cutStart: 2 });
    expect(found.marks).toBe(2);
    expect(found.drift).toBeCloseTo(0, 1);
    expect(found.start).toBeCloseTo(-2 * 48000, 0);
    expect(found.parts[0]!.name).toBe('right');
    expect(table.found).toEqual([]);
  });

  test('of two takes in one capture one is measured whole', async () => {
    const twice = captured({ also: ([a, b]) => [join(a, a), join(b, b)] });
    const result = await findSequence(twice.channels, twice.rate);
    expect('found' in result && result.found.marks).toBe(4);
    expect('found' in result && Math.abs(result.found.drift!)).toBeLessThan(0.5);
  });

  const join = (a: Float64Array, b: Float64Array) => Float64Array.from([...a, ...b]);

  test('what is not the recording says so', async () => {
    for (const channels of [
      [noiseOf(1, 480000), noiseOf(2, 480000)],
      [new Float64Array(480000), new Float64Array(480000)],
      [new Float64Array(0), new Float64Array(0)],
      [played[0].slice(0, 48000), played[0].slice(0, 48000)],
      [played[0].slice(96000, 700000), played[1].slice(96000, 700000)],
    ])
      expect(await findSequence(channels, 48000)).toEqual({ error: expect.stringContaining('not the all-in-one') });
  });
});

describe('the stereo table', () => {
  /** Output stages by Kirchhoff: levels re one driven side and correlation, under L, R, B, A and U. */
  const stages: [OutputCase, OutputCase[]][] = [
    ['as-designed', ['as-designed']],
    ['differential', ['differential']],
    ['differential-of-left', ['differential-of-left']],
    ['differential-of-right', ['differential-of-right']],
    ['polarity-reversed', ['polarity-reversed']],
    ['mono-summed', ['mono-summed']],
    ['left-dead', ['left-dead']],
    ['right-dead', ['right-dead']],
    ['sides-exchanged', ['sides-exchanged']],
    ['common-return', ['common-return']],
    ['leakage', ['leakage']],
    ['return-open', ['return-open']],
  ];

  test.each(stages)('of %s: every row as the circuit has it, and the verdict', async (name, verdict) => {
    for (const noiseDb of [-80, -20]) {
      const { table } = await taken({ mix: mixes[name], noiseDb });
      expect(table.found, table.because).toEqual(noiseDb === -80 ? verdict : [expect.any(String)]);
      // A leak 30 or 40 dB down drowns in noise 20 dB down only if it is not measured selectively: it is found there too.
      expect(table.found[0]).toBe(verdict[0]);
      const at = (left: number, right: number, rho: number) => seen(mixes[name], left, right, rho);
      const views = {
        left: at(1, 0, 0),
        right: at(0, 1, 0),
        both: at(1, 1, 1),
        opposed: at(1, 1, -1),
        unlike: at(1, 1, 0),
      };
      const reference = Math.max(...views.left.levels, ...views.right.levels);
      for (const [part, view] of Object.entries(views)) {
        const got = row(table, part);
        [0, 1].forEach((c) => {
          const level = view.levels[c]! - reference;
          // Levels of noise are draws.
          const slack = part === 'unlike' ? 0.15 : noiseDb === -20 ? 0.5 : 0.01;
          if (level > -45) expect(Math.abs(got.level[c]! - level), `${part} ${c}`).toBeLessThan(slack);
          else
            expect(got.level[c]!, `${part} ${c}`).toBeLessThan(part === 'unlike' ? -15 : noiseDb === -80 ? -90 : -40);
        });
        if (view.correlation !== null && Math.min(...view.levels) - reference > -45 && part !== 'unlike')
          expect(got.correlation!).toBeCloseTo(view.correlation, noiseDb === -80 ? 4 : 1);
        if (view.correlation !== null && part === 'unlike')
          expect(Math.abs(got.correlation! - view.correlation)).toBeLessThan(noiseDb === -80 ? 0.02 : 0.04);
        for (const half of ['mid', 'side'] as const)
          if (view[half] - reference > -40)
            expect(Math.abs(got[half] - (view[half] - reference))).toBeLessThan(part === 'unlike' ? 0.2 : 0.05);
      }
    }
  });

  test('relations by part, for the cases in which they differ most', async () => {
    const relations = async (name: OutputCase) => {
      const { table } = await taken({ mix: mixes[name], noiseDb: -60 });
      return ['left', 'right', 'both', 'opposed', 'unlike'].map((part) => row(table, part).relation);
    };
    expect(await relations('as-designed')).toEqual(['one-silent', 'one-silent', 'same', 'antiphase', 'unrelated']);
    expect(await relations('differential')).toEqual([
      'antiphase',
      'antiphase',
      'antiphase',
      'both-silent',
      'antiphase',
    ]);
    expect(await relations('polarity-reversed')).toEqual([
      'one-silent',
      'one-silent',
      'antiphase',
      'same',
      'unrelated',
    ]);
    expect(await relations('mono-summed')).toEqual(['same', 'same', 'same', 'both-silent', 'same']);
    expect(await relations('return-open')).toEqual(['antiphase', 'antiphase', 'both-silent', 'antiphase', 'antiphase']);
    expect(await relations('right-dead')).toEqual([
      'one-silent',
      'both-silent',
      'one-silent',
      'one-silent',
      'one-silent',
    ]);
  });

  test('a shared return: inverted and flat, −30.6 dB; leakage through a resistor: in phase and flat', async () => {
    const { table } = await taken({ mix: mixes['common-return'] });
    for (const side of [table.leftDriven!, table.rightDriven!]) {
      expect(side.separation).toBeCloseTo(30.63, 1);
      expect([side.sign, side.path, side.floor]).toEqual(['inverted', 'common-return', false]);
      expect(Math.abs(side.slope!)).toBeLessThan(0.5);
      expect(side.points.length).toBeGreaterThanOrEqual(5);
    }
    const leak = (await taken({ mix: mixes.leakage })).table.leftDriven!;
    expect(leak.separation).toBeCloseTo(40, 1);
    expect([leak.sign, leak.path]).toEqual(['in-phase', 'resistive']);
  });

  /** One-pole high-pass (what a capacitor into a resistance leaves), at 48 kHz. */
  const highPass = (x: Float64Array, corner: number) => {
    const k = 1 / (1 + Math.tan((Math.PI * corner) / 48000));
    const p = (1 - Math.tan((Math.PI * corner) / 48000)) * k;
    let last = 0;
    let before = 0;
    return x.map((value) => {
      last = k * (value - before) + p * last;
      before = value;
      return last;
    });
  };

  test('a capacitance between the sides: rises 20 dB a decade, a quarter turn ahead', async () => {
    // Corner far above: 100 kHz would be −40 dB at 1 kHz.
    const { table } = await taken({
      also: ([a, b]) => [sum(a, times(highPass(b, 20000), 0.2)), sum(b, times(highPass(a, 20000), 0.2))],
    });
    const leak = table.leftDriven!;
    expect(leak.slope!).toBeGreaterThan(18);
    expect(leak.slope!).toBeLessThan(22);
    expect([leak.sign, leak.path]).toEqual(['leading', 'capacitive']);
    expect(table.found).toEqual(['leakage']);
  });

  test('coupling capacitors: one a decade too small shows at 61 Hz, not at 997 Hz', async () => {
    // −3 dB at 15.9 Hz (10 µF into 1 k) and at 159 Hz: closed form |H| = 1/√(1 + (fc/f)²).
    const { table } = await taken({ also: ([a, b]) => [highPass(a, 15.9), highPass(b, 159)], noiseDb: -60 });
    const at = (f: number, corner: number) => -10 * Math.log10(1 + (corner / f) ** 2);
    expect(table.lowLeft).toBeCloseTo(at(61, 15.9) - at(997, 15.9), 1);
    expect(table.lowRight).toBeCloseTo(at(61, 159) - at(997, 159), 1);
    expect(Math.abs(table.balance!)).toBeLessThan(0.15);
    expect(table.found[0]).toBe('as-designed');
  });

  test('right a quarter of a millisecond late, and inverted: both are told', async () => {
    const late = (x: Float64Array) => x.map((_, n) => x[n - 12] ?? 0);
    const straight = await taken({ also: ([a, b]) => [a, late(b)], noiseDb: -40 });
    expect(straight.table.rightLate! * 1e6).toBeCloseTo(250, -1);
    expect(Math.abs(straight.table.rightLate! - 250e-6)).toBeLessThan(5 * straight.table.rightLateSd!);
    expect(straight.table.found).toEqual(['delayed']);
    const turned = await taken({ also: ([a, b]) => [a, times(late(b), -1)], noiseDb: -40 });
    expect(turned.table.found).toEqual(['polarity-reversed', 'delayed']);
  });

  test('sides exchanged and one reversed; balance; the noise under silence', async () => {
    const { table } = await taken({ mix: [0, -0.8, 1, 0], noiseDb: -50 });
    expect(table.found).toEqual(['polarity-reversed', 'sides-exchanged']);
    expect(table.polarity).toBe('opposed');
    expect(table.balance).toBeCloseTo(20 * Math.log10(0.8), 1);
    expect([table.leftDriven!.channel, table.rightDriven!.channel]).toEqual([1, 0]);
    for (const noise of table.noise!) expect(20 * Math.log10(noise / table.reference)).toBeCloseTo(-50, 0);
  });

  test('what fits nothing is not given a name', async () => {
    const { table } = await taken({ mix: [1, 0.6, -0.3, 0.2], noiseDb: -60 });
    expect(table.found).toEqual([]);
    expect(table.because).toContain('no known output');
  });
});

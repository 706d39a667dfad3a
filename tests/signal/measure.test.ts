import { describe, expect, test } from 'vitest';
import type { Stimulus } from '../../server/src/signal/figures';
import { type MeasureRequest, measure } from '../../server/src/signal/measure';
import { type ByteSource, type Control, memorySource } from '../../server/src/signal/source';
import { noiseOf, sine, sum, times, wav } from './make';
import { figures, rate, tone } from './measured';

const silence = (frames: number) => new Float64Array(frames);
const joined = (...parts: Float64Array[]) => {
  const out = new Float64Array(parts.reduce((total, part) => total + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
};
const left: Stimulus = { kind: 'tone', tone: 997, side: 'left' };
const right: Stimulus = { kind: 'tone', tone: 997, side: 'right' };

describe('levels and tone of one channel', () => {
  test('a −12 dBFS sine is −12 dBFS (AES17), whatever its DC', async () => {
    const [channel] = (await figures([sum(tone(rate, 10 ** (-12 / 20)), new Float64Array(rate).fill(0.1))])).channels;
    expect(channel!.level.dbfs).toBeCloseTo(-12, 4);
    expect(channel!.dc).toBeCloseTo(0.1, 6);
    expect(channel!.crest).toBeCloseTo(3.0103, 3);
    expect(channel!.peak).toBeCloseTo(10 ** (-12 / 20) + 0.1, 4);
    expect(channel!.tone).toMatchObject({ free: true });
    expect(channel!.tone!.frequency).toBeCloseTo(997, 6);
    expect(channel!.level.dbv).toBeNull();
  });

  test('scaled to volts: 1.42 V peak at full scale', async () => {
    const request = { channels: [{ plus: 1, scale: 1.42 }] };
    const [channel] = (await figures([tone(rate, 0.5)], request, { bits: 16 })).channels;
    expect(channel!.unit).toBe('V');
    expect(channel!.rms).toBeCloseTo(0.71 / Math.SQRT2, 5);
    expect(channel!.level.dbv).toBeCloseTo(20 * Math.log10(0.71 / Math.SQRT2), 4);
    expect(channel!.level.dbu).toBeCloseTo(20 * Math.log10(0.71 / Math.SQRT2 / Math.sqrt(0.6)), 4);
    expect(channel!.level.dbfs).toBeNull();
    // Half of full scale in a 16-bit range: a bit less than 16 (S3), whatever the scale.
    expect(channel!.enob).toBeGreaterThan(15.9);
    expect(channel!.enob).toBeLessThan(16.1);
  });

  test('a differential pair is the difference of its channels', async () => {
    const hum = sine({ rate, frames: rate, frequency: 50, amplitude: 0.2 });
    const request = { channels: [{ plus: 1, minus: 2 }] };
    const [channel] = (await figures([sum(tone(), hum), sum(times(tone(), -1), hum)], request)).channels;
    expect(channel!.name).toBe('1−2');
    expect(channel!.tone!.amplitude).toBeCloseTo(0.5, 6);
    expect(channel!.sinad).toBeGreaterThan(100);
  });

  test('volts in a CSV, as the file states them, times a probe, or as the number is written', async () => {
    const rows = Array.from(tone(4800), (value, i) => `${i / rate},${value * 1000},${value}`).join('\n');
    const source = memorySource(new TextEncoder().encode(`Time (s),A (mV),B\n${rows}\n`));
    const peak = async (channels: MeasureRequest['channels']) => {
      const outcome = await measure(source, { format: 'csv', channels });
      if ('error' in outcome) throw new Error(outcome.error);
      return outcome.figures.channels[0]!.tone!.amplitude;
    };
    expect(await peak([{ plus: 'A' }])).toBeCloseTo(0.25, 9);
    expect(await peak([{ plus: 'a', scale: 10 }])).toBeCloseTo(2.5, 9);
    expect(await peak([{ plus: 'A', written: 1e-3, scale: 10 }])).toBeCloseTo(2.5, 9);
    expect(await peak([{ plus: 2, written: 1e-3 }])).toBeCloseTo(0.25e-3, 9);
  });

  test('clipped runs are counted and said', async () => {
    const found = await figures([tone(rate, 1.2), tone()], {}, { bits: 16 });
    expect(found.channels.map(({ clipped }) => clipped)).toEqual([2 * 997, 0]);
    expect(found.warnings.map(({ what }) => what)).toContain('clipped');
  });
});

describe('which stretch the tone figures come from', () => {
  test('lead-in, a tone, another level, silence: the longest steady part alone, and it says so', async () => {
    const parts = [silence(30_000), tone(3 * rate, 0.3), tone(rate, 0.05), silence(20_000)];
    const { channels, stretch } = await figures([joined(...parts)], {}, { bits: 24 });
    expect(stretch!.from).toBeGreaterThanOrEqual(30_000 / rate);
    expect(stretch!.to).toBeLessThanOrEqual(30_000 / rate + 3);
    expect(stretch!.frames).toBeGreaterThan(2.7 * rate);
    expect(stretch!.text).toMatch(/longest steady stretch/);
    expect(channels[0]!.tone!.amplitude).toBeCloseTo(0.3, 5);
    expect(channels[0]!.sinad).toBeGreaterThan(100);
  });

  test('a long recording: at most 2^20 frames of it', async () => {
    const { stretch, frames } = await figures([tone(1_300_000)], {}, { bits: 16 });
    expect(frames).toBe(1_300_000);
    expect(stretch!.frames).toBe(1 << 20);
    expect(stretch!.text).toMatch(/of 27\.08 s, the longest steady stretch \(at most 2\^20 frames\)/);
  });

  test('a click does not end it, nor does it become it', async () => {
    const samples = tone(4 * rate, 0.1);
    for (let i = 0; i < 200; i++) samples[100_000 + i]! += 0.9;
    const { stretch } = await figures([samples]);
    expect(stretch!.frames).toBeGreaterThan(1.5 * rate);
    expect(stretch!.from > 100_000 / rate || stretch!.to < 100_000 / rate).toBe(true);
  });

  test('programme, sweep, noise, silence: no tone is claimed', async () => {
    for (const kind of ['programme', 'sweep', 'noise', 'silence'] as const) {
      const { channels } = await figures([tone()], { stimulus: { kind } });
      expect(channels[0]!.tone).toBeNull();
      expect(channels[0]!.thd).toBeNull();
    }
  });

  test('noise alone is no tone', async () => {
    const { channels } = await figures([noiseOf(3, rate, 0.1)]);
    expect(channels[0]!.tone).toBeNull();
    expect(channels[0]!.sinad).toBeNull();
  });
});

describe('one side driven', () => {
  const wires = async (second: Float64Array, stimulus: Stimulus, swap = false) => {
    const both = [sum(tone(), noiseOf(1, rate, 1e-4)), sum(second, noiseOf(2, rate, 1e-4))];
    return (await figures(swap ? both.reverse() : both, { stimulus }, { bits: 24 })).pairs[0]!;
  };

  test('crosstalk 40 dB down and inverted, out of noise', async () => {
    const pair = await wires(times(tone(), -0.01), left);
    expect(pair.relation).toBe('one-silent');
    expect(pair.separation!.firstDriven).toBeCloseTo(40, 1);
    expect(pair.separation).toMatchObject({ secondDriven: null, floor: false });
    expect(pair.crosstalk!.sign).toBe('inverted');
    expect(Math.abs(pair.crosstalk!.phase)).toBeGreaterThan(179);
  });

  test('crosstalk 80 dB down, under the noise of 1e-4: still measured, with its sign', async () => {
    const pair = await wires(times(tone(), 1e-4), left);
    expect(Math.abs(pair.separation!.firstDriven! - 80)).toBeLessThan(1.5);
    expect(pair.crosstalk!.sign).toBe('in-phase');
  });

  test('none at all: a lower bound that says it is one', async () => {
    const pair = await wires(silence(rate), left);
    expect(pair.separation!.floor).toBe(true);
    expect(pair.separation!.firstDriven).toBeGreaterThan(90);
    expect(pair.crosstalk).toBeNull();
  });

  test('digital silence: bounded by half a step of the format', async () => {
    const pair = (await figures([tone(), silence(rate)], { stimulus: left }, { bits: 16 })).pairs[0]!;
    expect(pair.separation!.floor).toBe(true);
    expect(pair.separation!.firstDriven).toBeCloseTo(20 * Math.log10(0.25 / 2 ** -16), 1);
  });

  test('the other side driven, and sides exchanged: a negative separation', async () => {
    expect((await wires(times(tone(), 0.01), right, true)).separation).toMatchObject({ firstDriven: null });
    expect((await wires(times(tone(), 0.01), right, true)).separation!.secondDriven).toBeCloseTo(40, 1);
    expect((await wires(times(tone(), 0.01), right)).separation!.secondDriven).toBeCloseTo(-40, 1);
  });

  test('capacitive leakage: 90° ahead', async () => {
    const pair = await wires(tone(rate, 0.0025, Math.PI / 2), left);
    expect(pair.crosstalk!.phase).toBeCloseTo(90, 0);
    expect(pair.crosstalk!.sign).toBe('leading');
  });

  test('by noise: the coherent part, and its slope over frequency', async () => {
    const frames = 4 * rate;
    const played = noiseOf(5, frames, 0.1);
    // A differentiator: 20 dB a decade.
    const leak = played.map((value, n) => 0.05 * (value - (played[n - 1] ?? 0)));
    const stimulus: Stimulus = { kind: 'noise', side: 'left' };
    const flat = (await figures([played, times(played, -0.01)], { stimulus })).pairs[0]!;
    expect(flat.separation!.firstDriven).toBeCloseTo(40, 1);
    expect(flat.crosstalk!.sign).toBe('inverted');
    expect(Math.abs(flat.crosstalk!.slope!)).toBeLessThan(0.5);
    const rising = (await figures([played, sum(leak, noiseOf(6, frames, 1e-5))], { stimulus })).pairs[0]!;
    expect(rising.crosstalk!.slope).toBeGreaterThan(15);
    expect(rising.crosstalk!.slope).toBeLessThan(22);
    const none = (await figures([played, noiseOf(7, frames, 1e-3)], { stimulus })).pairs[0]!;
    expect(none.separation!.floor).toBe(true);
    expect(none.separation!.firstDriven).toBeGreaterThan(45);
  });
});

test('phase between channels at the tone, second against first, within (−180, 180]', async () => {
  for (const degrees of [-179, -90, 0, 25, 90, 180]) {
    const pair = (await figures([tone(), tone(rate, 0.1, (degrees * Math.PI) / 180)])).pairs[0]!;
    expect(Math.cos(((pair.phase! - degrees) * Math.PI) / 180)).toBeCloseTo(1, 9);
    expect(pair.phase).toBeGreaterThan(-180);
    expect(pair.phase).toBeLessThanOrEqual(180);
  }
});

test('two tones of their own have no phase to one another', async () => {
  const { channels, pairs } = await figures([tone(), tone(rate, 0.25, 0, 1501)]);
  expect(channels.map((channel) => Math.round(channel.tone!.frequency))).toEqual([997, 1501]);
  expect(pairs[0]!.relation).toBe('unrelated');
});

describe('outcomes in words, never a throw', () => {
  const errorOf = async (source: ByteSource, request: MeasureRequest, control?: Control) => {
    const outcome = await measure(source, request, control);
    return 'error' in outcome ? outcome : null;
  };
  const good = memorySource(wav([tone(), tone()]));

  test('what cannot be read: a folder, a file that went away', async () => {
    const folder: ByteSource = {
      size: 4096,
      read: () => Promise.reject(new Error('EISDIR: illegal operation on a directory')),
    };
    for (const format of ['wav', 'csv'] as const)
      expect((await errorOf(folder, { format }))!.error).toMatch(/cannot be read: EISDIR/);
    let reads = 0;
    const gone: ByteSource = {
      size: good.size,
      read: (a, b) => (++reads > 4 ? Promise.reject(new Error('gone')) : good.read(a, b)),
    };
    expect((await errorOf(gone, { format: 'wav' }))!.error).toMatch(/gone/);
  });

  test('a file that turns out shorter than it said', async () => {
    const short: ByteSource = { size: good.size + 1e6, read: good.read };
    expect(await errorOf(short, { format: 'wav' })).toBeNull();
  });

  test('empty, junk, the wrong kind', async () => {
    const junk = Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919) % 251);
    for (const format of ['wav', 'csv'] as const) {
      expect((await errorOf(memorySource(new Uint8Array(0)), { format }))!.error).toBe('the file is empty');
      expect(await errorOf(memorySource(junk), { format })).not.toBeNull();
    }
    expect(await errorOf(good, { format: 'csv' })).not.toBeNull();
  });

  test('channels that are not there, a scale of nothing', async () => {
    expect((await errorOf(good, { format: 'wav', channels: [{ plus: 3 }] }))!.error).toBe(
      'the recording has no channel 3: it has 1, 2',
    );
    expect((await errorOf(good, { format: 'wav', channels: [{ plus: 1, minus: 'x' }] }))!.error).toMatch(
      /no channel x/,
    );
    expect((await errorOf(good, { format: 'wav', channels: [{ plus: 1, scale: 0 }] }))!.error).toMatch(/scale/);
    expect((await errorOf(good, { format: 'wav', channels: [] }))!.error).toMatch(/no channel/);
  });

  test.each([1, 2, 3, 5, 8, 13, 40, 100, 300])('%i frames', async (frames) => {
    const { channels, pairs } = await figures([tone(frames), noiseOf(1, frames, 0.1)], { stimulus: left });
    expect(channels.length).toBe(2);
    expect(pairs.length).toBe(1);
  });

  test('constant and silent channels', async () => {
    const { channels, pairs } = await figures([silence(rate), new Float64Array(rate).fill(0.5)]);
    expect(channels.map(({ crest, tone: line }) => [crest, line])).toEqual([
      [null, null],
      [null, null],
    ]);
    expect(pairs[0]!.relation).toBe('both-silent');
    expect(pairs[0]!.correlation).toBeNull();
  });
});

describe('without a time that rises nothing is said of time or frequency', () => {
  const samples = tone(4800);
  const other = times(samples, -0.5);
  const csv = (time: (i: number) => string) =>
    new TextEncoder().encode(
      Array.from(samples, (v, i) => `${time(i)}${v.toFixed(6)},${other[i]!.toFixed(6)}`).join('\n'),
    );
  test.each([
    ['no time at all', csv(() => ''), 'no-rate'],
    ['time that starts again', csv((i) => `${(i % 2400) * 1e-4},`), 'uneven'],
  ] as const)('%s', async (_, bytes, warning) => {
    const outcome = await measure(memorySource(bytes), { format: 'csv', stimulus: { kind: 'tone', tone: 997 } });
    if ('error' in outcome) throw new Error(outcome.error);
    const { channels, pairs, stretch, warnings } = outcome.figures;
    expect(warnings.map(({ what }) => what)).toEqual([warning]);
    expect(stretch).toBeNull();
    for (const { tone: found, thd, noise, hum, spurs } of channels)
      expect([found, thd, noise, hum, spurs]).toEqual([null, null, null, null, []]);
    expect(channels[0]!.rms).toBeCloseTo(0.25 / Math.SQRT2, 3);
    expect([pairs[0]!.delay, pairs[0]!.bands]).toEqual([null, []]);
    expect(pairs[0]!.correlation).toBeCloseTo(-1, 6);
    expect(pairs[0]!.relation).toBe('antiphase');
  });
});

describe('steering', () => {
  const samples = [noiseOf(1, 400_000, 0.1), noiseOf(2, 400_000, 0.1)];
  test('it stops when cancelled, and says so', async () => {
    let asked = 0;
    const control: Control = { cancelled: () => ++asked > 3, progress: () => {} };
    const outcome = await measure(memorySource(wav(samples)), { format: 'wav' }, control);
    expect(outcome).toEqual({ error: 'cancelled', cancelled: true });
  });
  test('progress never falls, and others get to run', async () => {
    for (const format of ['wav', 'csv'] as const) {
      const csv = `V\n${Array.from(samples[0]!.subarray(0, 200_000), (v) => v.toFixed(5)).join('\n')}\n`;
      const bytes = format === 'wav' ? wav(samples) : new TextEncoder().encode(csv);
      const told: number[] = [];
      let pauses = 0;
      const pause = async () => void pauses++;
      await measure(memorySource(bytes), { format }, { cancelled: () => false, progress: (f) => told.push(f), pause });
      expect(told).toEqual([...told].sort((a, b) => a - b));
      expect(told[0]).toBeGreaterThanOrEqual(0);
      expect(told.at(-1)).toBeLessThanOrEqual(1);
      expect(pauses).toBe(told.length);
      expect(pauses).toBeGreaterThan(4);
    }
  });
  test('the outcome is plain data, the same on every run', async () => {
    const [once, again] = [await figures(samples), await figures(samples)];
    expect(structuredClone(once)).toEqual(once);
    expect(again).toEqual(once);
  });
});

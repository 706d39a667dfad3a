import { describe, expect, test } from 'vitest';
import { findLines } from '../../server/src/signal/lines';
import { humOf, signatures } from '../../server/src/signal/signatures';
import { noiseOf, sine, sum } from './make';

const rate = 48000;
const frames = 1 << 18;
const noise = (seed: number) => noiseOf(seed, frames, 1e-4);

/** Lines at multiples of a fundamental, each an amplitude; phases differ. */
const comb = (fundamental: number, amplitudes: Record<number, number>) =>
  sum(
    ...Object.entries(amplitudes).map(([m, amplitude]) =>
      sine({ rate, frames, frequency: Number(m) * fundamental, amplitude, phase: Number(m) ** 2 }),
    ),
  );

const named = (...parts: Float64Array[]) => signatures(sum(noise(1), ...parts), rate);

describe('lines', () => {
  test('noise alone shows none, in thirty records', () => {
    // Threshold: once in a thousand records.
    let count = 0;
    for (let seed = 1; seed <= 30; seed++) count += findLines(noiseOf(seed, 1 << 16), rate).length;
    expect(count).toBe(0);
  });

  test('coloured noise shows none', () => {
    let low = 0;
    const rumble = noiseOf(5, 1 << 16).map((value) => {
      low = 0.95 * low + value;
      return low;
    });
    expect(findLines(rumble, rate)).toEqual([]);
  });

  test('frequency and level of a line; its scatter over draws is its deviation', () => {
    const length = 1 << 15;
    const errors: number[] = [];
    let claimed = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const frequency = 1000 + seed * 0.37;
      const tone = sine({ rate, frames: length, frequency, amplitude: 2e-3, phase: seed });
      const lines = findLines(sum(tone, noiseOf(seed, length, 1e-2)), rate);
      expect(lines.length).toBe(1);
      expect(20 * Math.log10((lines[0]!.rms * Math.SQRT2) / 2e-3)).toBeCloseTo(0, -1);
      errors.push(lines[0]!.frequency - frequency);
      claimed += lines[0]!.sd / 40;
    }
    const scatter = Math.sqrt(errors.reduce((total, e) => total + e * e, 0) / errors.length);
    expect(scatter / claimed).toBeGreaterThan(0.7);
    expect(scatter / claimed).toBeLessThan(1.4);
  });

  test('without noise a frequency is right to a thousandth of a bin', () => {
    for (const frequency of [61.03, 997, 12345.678]) {
      const [line] = findLines(sine({ rate, frames: 48000, frequency, amplitude: 0.5 }), rate);
      expect(Math.abs(line!.frequency - frequency)).toBeLessThan(0.001);
      expect(line!.rms).toBeCloseTo(0.5 / Math.SQRT2, 4);
    }
  });

  test('a strong line brings no false ones beside it', () => {
    const lines = findLines(sum(noise(3), sine({ rate, frames, frequency: 997, amplitude: 0.9 })), rate);
    expect(lines.map(({ frequency }) => Math.round(frequency))).toEqual([997]);
  });

  test('nothing, a constant, a few samples', () => {
    expect(findLines(new Float64Array(0), rate)).toEqual([]);
    expect(findLines(new Float64Array(5000).fill(0.3), rate)).toEqual([]);
    expect(findLines(noiseOf(1, 100), rate)).toEqual([]);
    expect(findLines(noiseOf(1, 5000), 0)).toEqual([]);
  });
});

/*
 * Frequencies: mains and its ripple; USB 2.0 frame 1 ms ±500 ppm; Bluetooth slot 625 µs, 1600 hops a second; GSM frame 60/13 ms
 * (its 217 Hz buzz is well known); DECT frame 10 ms. Which of them is heard is common practice, no source.
 */
describe('combs are named', () => {
  test('mains hum, at the frequency the mains has, with its interval', () => {
    const found = named(comb(49.97, { 1: 1e-3, 2: 4e-4, 3: 6e-4, 5: 3e-4, 7: 1e-4 }));
    expect(found.combs.map(({ names }) => names)).toEqual([['50 Hz mains hum']]);
    const [hum] = found.combs;
    expect(hum!.interval[0]).toBeLessThan(49.97);
    expect(hum!.interval[1]).toBeGreaterThan(49.97);
    expect(hum!.interval[1] - hum!.interval[0]).toBeLessThan(0.02);
    expect(hum!.lines).toEqual([1, 2, 3, 5, 7]);
    const rms = Math.hypot(1e-3, 4e-4, 6e-4, 3e-4, 1e-4) / Math.SQRT2;
    expect(20 * Math.log10(humOf(found)! / rms)).toBeCloseTo(0, 1);
    expect(found.spurs).toEqual([]);
    expect(named(comb(60.02, { 1: 1e-3, 3: 6e-4, 5: 3e-4 })).combs[0]!.names).toEqual(['60 Hz mains hum']);
  });

  test('ripple of a rectifier: mains that strays from crystal-true is nothing else', () => {
    const ripple = named(comb(99.94, { 1: 1e-3, 2: 6e-4, 3: 4e-4, 4: 2e-4 }));
    expect(ripple.combs.map(({ names, ambiguous, mains }) => [names, ambiguous, mains])).toEqual([
      [['rectifier ripple of 50 Hz mains'], false, true],
    ]);
    const other = named(comb(120.05, { 1: 1e-3, 2: 6e-4, 3: 4e-4 }));
    expect(other.combs[0]!.names).toEqual(['rectifier ripple of 60 Hz mains']);
    expect(humOf(other)).not.toBeNull();
  });

  test('at 100.000 Hz ripple, DECT and a 10 ms interval look alike: ambiguous', () => {
    const [found] = named(comb(100, { 1: 1e-3, 2: 6e-4, 3: 4e-4, 4: 2e-4 })).combs;
    expect(found!.ambiguous).toBe(true);
    expect(found!.names).toContain('rectifier ripple of 50 Hz mains');
    expect(found!.names).toContain('DECT frames (10 ms)');
  });

  test('with 50 and 150 Hz beside it, 100 Hz is mains', () => {
    const [found] = named(comb(50, { 1: 8e-4, 2: 1e-3, 3: 5e-4, 4: 2e-4 })).combs;
    expect([found!.names, found!.ambiguous]).toEqual([['50 Hz mains hum'], false]);
  });

  test.each([
    [1000.2, { 1: 1e-3, 2: 7e-4, 3: 5e-4, 4: 3e-4 }, ['USB frames (1 ms)']],
    [8000.5, { 1: 1e-3, 2: 7e-4 }, []],
    [13000 / 60, { 1: 1e-3, 2: 9e-4, 3: 8e-4, 4: 7e-4, 5: 6e-4, 6: 4e-4 }, ['GSM frames (4.615 ms)']],
    [1600.05, { 1: 1e-3, 2: 7e-4, 3: 5e-4 }, ['Bluetooth slots (625 µs)']],
    [800, { 1: 1e-3, 2: 7e-4, 3: 5e-4 }, ['Bluetooth slot pairs (1.25 ms)']],
  ])('%f Hz', (fundamental, amplitudes, names) => {
    const found = named(comb(fundamental, amplitudes));
    expect(found.combs.flatMap((one) => one.names)).toEqual(names);
    expect(humOf(found)).toBeNull();
  });

  test('266.67 Hz and 133.33 Hz have two makers each', () => {
    for (const fundamental of [800 / 3, 400 / 3]) {
      const [found] = named(comb(fundamental, { 1: 1e-3, 2: 7e-4, 3: 5e-4, 4: 3e-4 })).combs;
      expect([found!.names.length, found!.ambiguous]).toEqual([2, true]);
    }
  });

  test('a whine nobody is known for keeps its figures and gets no name', () => {
    const [found] = named(comb(1234.5, { 1: 1e-3, 2: 7e-4, 3: 5e-4 })).combs;
    expect(found!.names).toEqual([]);
    expect(found!.fundamental).toBeCloseTo(1234.5, 2);
  });

  test('frames beside hum: two combs', () => {
    const hum = comb(50.03, { 1: 1e-3, 2: 4e-4, 3: 6e-4, 5: 3e-4 });
    const found = named(hum, comb(1000.1, { 1: 1e-3, 2: 7e-4, 3: 5e-4, 5: 3e-4 }));
    expect(found.combs.map(({ names }) => names[0]).sort()).toEqual(['50 Hz mains hum', 'USB frames (1 ms)']);
    expect(found.combs.map(({ ambiguous }) => ambiguous)).toEqual([false, false]);
  });

  test('800 Hz on exact mains may be its 16th: ambiguous', () => {
    const hum = comb(50, { 1: 1e-3, 2: 4e-4, 3: 6e-4, 5: 3e-4 });
    const all = named(hum, comb(800, { 1: 1e-3, 2: 7e-4, 3: 5e-4, 4: 4e-4, 5: 4e-4, 6: 4e-4, 7: 3e-4 })).combs;
    const slots = all.find(({ fundamental }) => Math.abs(fundamental - 800) < 1);
    expect(slots?.ambiguous).toBe(true);
    expect(slots?.names).toContain('harmonics of 50 Hz mains hum');
  });

  test('a comb on the test tone is perhaps its own harmonics: a reason for 997 Hz', () => {
    const harmonics = sum(noise(2), comb(1000, { 2: 1e-3, 3: 7e-4, 4: 5e-4, 5: 3e-4 }));
    expect(signatures(harmonics, rate, 1000).combs[0]!.ambiguous).toBe(true);
    expect(signatures(harmonics, rate, 997).combs[0]!.ambiguous).toBe(false);
  });
});

describe('what is not named', () => {
  test('one line or two: spurs with a hint at most, and no hum', () => {
    const found = named(comb(50.01, { 1: 1e-3, 3: 5e-4 }));
    expect(found.combs).toEqual([]);
    expect(humOf(found)).toBeNull();
    expect(found.spurs.map(({ hint }) => hint)).toEqual(['where 50 Hz mains hum would lie', null]);
    const pilot = named(sine({ rate, frames, frequency: 19000.1, amplitude: 1e-3 }));
    expect(pilot.spurs[0]!.hint).toContain('FM');
    expect(named(sine({ rate, frames, frequency: 1234, amplitude: 1e-3 })).spurs[0]!.hint).toBeNull();
  });

  test('lines at odd places make no comb', () => {
    const places = [61.7, 118.9, 231.3, 402.9, 655.1, 913.7, 1391.3, 2203.9, 3107.1, 4801.7];
    const strewn = sum(...places.map((frequency) => sine({ rate, frames, frequency, amplitude: 5e-4 })));
    const found = named(strewn);
    expect(found.combs).toEqual([]);
    expect(found.spurs.length).toBe(places.length);
  });

  test('noise and silence', () => {
    expect(signatures(noise(4), rate)).toEqual({ combs: [], spurs: [] });
    expect(signatures(new Float64Array(frames), rate)).toEqual({ combs: [], spurs: [] });
  });
});

test('a short record widens the interval and keeps the name honest', () => {
  // One second: 100.05 Hz is not yet told from 100.00.
  const short = (fundamental: number) =>
    signatures(sum(noise(1), comb(fundamental, { 1: 2e-4, 2: 1e-4, 3: 1e-4 })).slice(0, 24000), rate).combs[0]!;
  const long = signatures(sum(noise(1), comb(100.06, { 1: 2e-4, 2: 1e-4, 3: 1e-4 })), rate).combs[0]!;
  expect(short(100.06).interval[1] - short(100.06).interval[0]).toBeGreaterThan(
    5 * (long.interval[1] - long.interval[0]),
  );
  expect(long.ambiguous).toBe(false);
});

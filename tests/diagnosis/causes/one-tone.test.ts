import { describe, expect, test } from 'vitest';
import { noiseOf, sine, sum, times } from '../../signal/make';
import { boardOf, diagnose, leading, measuredAs, nameOf } from './bench';

const pinout = `pinout: stage
pins:
  1: {name: OUTL, role: audio-out, channel: left, return: 3, bias: 1.65 V, full-scale: 1 V, impedance: 20}
  2: {name: OUTR, role: audio-out, channel: right, return: 3, bias: 1.65 V, full-scale: 1 V, impedance: 20}
  3: GND
modes:
  stereo:            {OUTL: {left: 1}, OUTR: {right: 1}}
  differential:      {OUTL: {left: 0.5, right: 0.5}, OUTR: {left: -0.5, right: -0.5}}
  differential-left: {OUTL: {left: 1}, OUTR: {left: -1}}
`;

/** A coupled stage into a line input; `more` are further parts' values, `captures` what was recorded. */
const board = (captures: string, values: { r?: string; load?: string } = {}, readings = '') => `board: Coupled stage
parts:
  U1: {pinout: stage}
  C1: 22 uF
  C2: 22 uF
  R1: ${values.r ?? '470'}
  R2: 470
  R3: 10 k
  R4: 10 k
  J1: {style: jack-trs, load: ${values.load ?? '10 k'}}
traces:
  buzzed:
    - U1.OUTL C1.1
    - U1.OUTR C2.1
    - C1.2 R1.1
    - C2.2 R2.1
    - R1.2 R3.1 J1.tip LEFT
    - R2.2 R4.1 J1.ring RIGHT
    - U1.3 R3.2 R4.2 J1.sleeve GND
nets:
  GND: {role: ground}
  LEFT: {role: audio-out, channel: left}
  RIGHT: {role: audio-out, channel: right}
${readings}captures:
${captures}`;

const capture = (name: string, stimulus: string, scaled = true) =>
  `  ${name}: {file: ${name}.wav, stimulus: {${stimulus}, level: -12 dBFS}, channels: {1: LEFT, 2: RIGHT}, ground-lead: GND${scaled ? ', full-scale: 2 V' : ''}}\n`;

const rate = 48000;
/** Ohm's law: 1 V · 5 k/(5 k + 490 Ω), −12 dBFS, peak, on a recorder of 2 V; the capacitor's 7 Ω do not show. */
const normal = (Math.SQRT2 * (5000 / 5490) * 10 ** (-12 / 20)) / 2;
const tone = (by = 1) => times(sine({ rate, frames: rate / 2, frequency: 997, amplitude: normal, phase: 0.4 }), by);

describe('one tone, the same on both sides', () => {
  const text = board(capture('both', 'tone: 997 Hz, side: both', false));

  // Reference: "What 'both in phase only' can't tell apart: (a), (a′), (b) are identical on B."
  test('in antiphase: a differential pair, one from a single side, and a side turned over are one group', async () => {
    const on = boardOf(text, pinout);
    const diagnosis = diagnose({ board: on, figures: await measuredAs(on, { both: [tone(), tone(-1)] }) });
    const { group } = leading(diagnosis);
    expect(group).toEqual(
      expect.arrayContaining([
        'output-mode U1 differential',
        'output-mode U1 differential-left',
        'polarity-reversed U1.1',
        'polarity-reversed U1.2',
      ]),
    );
    expect(diagnosis.enough).toBe(false);
    expect(diagnosis.causes[0]!.probability).toBeLessThan(0.9);
    // A tone on one side, or opposed, tells them apart.
    expect(diagnosis.next[0]).toMatchObject({ instrument: 'recorder', probe: ['J1.tip', 'J1.ring'] });
    expect(diagnosis.next[0]!.stimulus).toMatch(/side: (left|right|opposed)/);
  });

  test('in phase and equal: as designed, and a board that says no more than that finds nothing wrong', async () => {
    const on = boardOf(text, pinout);
    const diagnosis = diagnose({ board: on, figures: await measuredAs(on, { both: [tone(), tone()] }) });
    const { first, group } = leading(diagnosis);
    expect(first).toBe('as-designed');
    expect(group).toContain('sides-exchanged U1.1 U1.2');
    expect(group).toContain('return-open J1.sleeve');
    expect(diagnosis.anythingWrong).toBe(false);
    expect(diagnosis.enough).toBe(false);
    expect(diagnosis.notes.join(' ')).toMatch(/open return would not show/i);
  });
});

describe('a reading that is simply wrong', () => {
  test('is left, and does not carry the diagnosis off', async () => {
    const stimuli = ['left', 'right', 'both'].map((side) => capture(side, `tone: 997 Hz, side: ${side}`)).join('');
    // U1.1 sits at half the supply; 0 V there contradicts the signal that comes out of it.
    const on = boardOf(board(stimuli, {}, 'readings:\n  - U1.1: 0.3 V\n'), pinout);
    const silent = tone(1e-6);
    const diagnosis = diagnose({
      board: on,
      figures: await measuredAs(on, { left: [tone(), silent], right: [silent, tone()], both: [tone(), tone()] }),
    });
    const designed = diagnosis.causes.find(({ cause }) => cause === 'as-designed')!;
    expect(designed.leaves).toEqual(['reading U1.1 0.3 V']);
    expect(designed.explains).toEqual(['capture left', 'capture right', 'capture both']);
  });
});

describe('two causes at once', () => {
  test('a differential pair and a short across one series resistor', async () => {
    const stimuli = ['left', 'right', 'both'].map((side) => capture(side, `tone: 997 Hz, side: ${side}`)).join('');
    const on = boardOf(board(stimuli, { load: '600' }), pinout);
    // 600 ∥ 10 k = 566 Ω: behind 490 Ω on the left, behind 20 Ω on the right.
    const level = (Math.SQRT2 * 10 ** (-12 / 20)) / 2;
    const leg = (series: number) =>
      times(sine({ rate, frames: rate / 2, frequency: 997, amplitude: level, phase: 0 }), 566.04 / (566.04 + series));
    const [a, b] = [leg(490), leg(20)];
    const half = [times(a, 0.5), times(b, -0.5)];
    const diagnosis = diagnose({
      board: on,
      figures: await measuredAs(on, { left: half, right: half, both: [a, times(b, -1)] }),
    });
    const names = diagnosis.causes.filter(({ group }) => group === 1).map(nameOf);
    expect(names).toContain('output-mode U1 differential + short R2');
    expect(diagnosis.causes[0]!.also).toHaveLength(1);
  });
});

describe('values nobody has stated', () => {
  test('are taken over a series, and said so; the cause is found all the same', async () => {
    const stimuli = ['left', 'right', 'both'].map((side) => capture(side, `tone: 997 Hz, side: ${side}`)).join('');
    const on = boardOf(board(stimuli).replace('  R1: 470\n', '  R1:\n').replace('  R2: 470\n', '  R2:\n'), pinout);
    const silent = tone(1e-6);
    const diagnosis = diagnose({
      board: on,
      figures: await measuredAs(on, { left: [silent, tone()], right: [tone(), silent], both: [tone(), tone()] }),
    });
    expect(leading(diagnosis).first).toBe('sides-exchanged U1.1 U1.2');
    expect(diagnosis.notes.join(' ')).toMatch(
      /R1, R2 have no value: taken over \d+ seeded draws|R1, R2 have no value: taken over all/,
    );
  });
});

describe('nothing to go by', () => {
  test('a board that is a title alone', () => {
    const diagnosis = diagnose({ board: boardOf('board: Nothing yet\n'), figures: new Map() });
    expect(diagnosis.causes).toEqual([]);
    expect(diagnosis.anythingWrong).toBe(false);
  });

  test('no capture: as designed leads, and nothing is claimed', () => {
    const on = boardOf(board('').replace(/captures:\n/, ''), pinout);
    const diagnosis = diagnose({ board: on, figures: new Map() });
    expect(diagnosis.causes[0]!.cause).toBe('as-designed');
    expect(diagnosis.anythingWrong).toBe(false);
    expect(diagnosis.enough).toBe(false);
  });
});

describe('ordinary programme, its sides unknown', () => {
  // Reference: "ρ ≈ −1 means (a) or (i); ρ between −1 and 0 mirroring a normal +0.3…+0.7 means (b)".
  const text = board(
    '  music: {file: music.wav, stimulus: programme, channels: {1: LEFT, 2: RIGHT}, ground-lead: J1.sleeve}\n',
  );
  const sides = (common: number): [Float64Array, Float64Array] => {
    const [a, b, m] = [noiseOf(1, rate / 2, 0.1), noiseOf(2, rate / 2, 0.1), noiseOf(3, rate / 2, 0.1)];
    const mix = (own: Float64Array) => sum(times(m, Math.sqrt(common)), times(own, Math.sqrt(1 - common)));
    return [mix(a), mix(b)];
  };
  const diagnosed = async (left: Float64Array, right: Float64Array) => {
    const on = boardOf(text, pinout);
    return diagnose({ board: on, figures: await measuredAs(on, { music: [left, right] }) });
  };

  test('alike by a half: nothing wrong', async () => {
    const diagnosis = await diagnosed(...sides(0.5));
    expect(diagnosis.causes[0]!.cause).toBe('as-designed');
    expect(diagnosis.anythingWrong).toBe(false);
  });

  test('one signal in antiphase: a differential pair or an open return, not a side turned over', async () => {
    const [left] = sides(0.5);
    const diagnosis = await diagnosed(left, times(left, -1));
    const { group } = leading(diagnosis);
    expect(group).toContain('output-mode U1 differential');
    expect(group).toContain('return-open J1.sleeve');
    const share = (wanted: string) =>
      diagnosis.causes.filter(({ cause }) => cause === wanted).reduce((all, { probability }) => all + probability, 0);
    expect(share('as-designed')).toBeLessThan(0.01);
    expect(share('polarity-reversed')).toBeLessThan(share('output-mode') / 5);
  });

  test('alike by minus a half: a side turned over', async () => {
    const [left, right] = sides(0.5);
    const diagnosis = await diagnosed(left, times(right, -1));
    expect(diagnosis.causes[0]!.cause).toBe('polarity-reversed');
  });
});

import { describe, expect, test } from 'vitest';
import { benchOf } from '../../../server/src/diagnosis/causes/bench';
import { bass, crosstalk, heardAt, levelAt, monoSum, pad } from '../../../server/src/diagnosis/causes/remedy-figures';
import { noiseOf, sum, times } from '../../signal/make';
import { boardOf, diagnose, measuredAs } from './bench';
import { coupled, db, diagnosed, frames, heard, stage, tone } from './coupled';

/* Figures of remedies against Ohm's law on the stage of 490 Ω into 10 k ∥ 10 k. */
const hiss = (seed: number) => noiseOf(seed, frames, 1e-5);
const bench = benchOf(boardOf(coupled(''), stage).at())!;
const [left] = heardAt(bench);

describe('figures', () => {
  test('a level at a contact: the divider', () => {
    expect(left!.point).toBe('J1.tip');
    expect(levelAt(bench, 'J1.tip', {})).toBeCloseTo(5000 / 5490, 3);
  });

  test('a resistor in series for a wanted level, in E24, and what it gives', () => {
    // Before the load of 10 k stand 490 Ω ∥ 10 k = 467 Ω, 10 k/10.49 k of 1 V: a tenth of what there is wants 9·(10 k + 467 Ω) = 94.2 k.
    const made = pad(bench, left!, {}, 0.1)!;
    expect(made.ohms).toBe(91e3);
    const open = 10_000 / 10_490;
    const source = (490 * 10_000) / 10_490;
    expect(made.fitted).toBeCloseTo((open * 10_000) / (source + 91e3 + 10_000), 4);
    // More cannot be had.
    expect(pad(bench, left!, {}, 1.2)).toBeUndefined();
  });

  test('a mono sum: both together keep what they share, one alone gives half', () => {
    const made = monoSum(bench, {})!;
    // 20 times 20 Ω, halved: 200 Ω from each side.
    expect(made.ohms).toBe(200);
    const open = 10_000 / 10_490;
    const each = (490 * 10_000) / 10_490 + 200;
    expect(made.both).toBeCloseTo((open * 10_000) / (10_000 + each / 2), 3);
    expect(made.one / made.both).toBeCloseTo(0.5, 3);
  });

  test('crosstalk through a return of 1 Ω: −Rg/(RL + Rs + Rg), reference row 16 Ω, 1 Ω', () => {
    const phones = boardOf(
      coupled('')
        .replace('load: 10 k', 'load: 16')
        .replace(/R1: 470\n {2}R2: 470/, 'R1: 0\n  R2: 0')
        .replace('R3: 10 k', 'R3: 1 M')
        .replace('R4: 10 k', 'R4: 1 M')
        .replaceAll('22 uF', '22000 uF'),
      stage.replaceAll('impedance: 20', 'impedance: 0'),
    );
    const made = benchOf(phones.at())!;
    const common = made.joints.find(({ kind }) => kind === 'common')!;
    const ratio = crosstalk(made, { changes: [{ element: common.element, becomes: { ohms: 1 } }] })!;
    expect(20 * Math.log10(ratio)).toBeCloseTo(-24.61, 1);
  });

  test('the bass a thin capacitor leaves: first order', () => {
    const thin = bass(bench, 'J1.tip', { changes: [{ element: 'C1', becomes: { farads: 220e-9 } }] })!;
    const corner = 1 / (2 * Math.PI * 5490 * 220e-9);
    const of = (hertz: number) => 1 / Math.hypot(1, corner / hertz);
    expect(thin).toBeCloseTo(of(20) / of(997), 3);
  });
});

describe('what is told', () => {
  const unit = (name: string, side: string, first: Float64Array, second: Float64Array) => ({
    text: tone(name, side),
    recording: [first, second],
  });

  test('a differential pair, and a level the mono gear wants: one leg, its volts, the pad, and what cannot be', async () => {
    const modes =
      'modes:\n  stereo: {OUTL: {left: 1}, OUTR: {right: 1}}\n  differential: {OUTL: {left: 0.5, right: 0.5}, OUTR: {left: -0.5, right: -0.5}}\n';
    const one = unit('left', 'left', sum(heard(0.5), hiss(1)), sum(heard(-0.5), hiss(2)));
    const two = unit('unlike', 'opposed', hiss(3), hiss(4));
    const expecting = (is: string) => `expect:\n  - level: {at: J1.tip, is: ${is}}\n`;
    const steps = async (is: string) => {
      const on = boardOf(coupled(one.text + two.text) + expecting(is), stage + modes);
      const made = diagnose({
        board: on,
        figures: await measuredAs(on, { left: one.recording, unlike: two.recording }),
      });
      expect(made.causes[0]).toMatchObject({ cause: 'output-mode', mode: 'differential' });
      return made.remedy!.steps.join('\n');
    };
    // −12 dBFS of 0.911 V is 229 mV; 100 mV is 0.437 of it: 1.29·10 467 Ω = 13.5 k, E24 13 k.
    const told = await steps('100 mV');
    expect(told).toContain('one leg only');
    expect(told).toContain('910 mV of a full-scale tone at J1.tip into 10 kΩ');
    expect(told).toContain('never ground it');
    expect(told).toMatch(
      /For 100 mV at J1\.tip \(a tone of -12 dBFS on both sides\) instead of 230 mV: 13 kΩ \(E24\) in series, which gives 100 mV\./,
    );
    // 1 V of 229 mV: 12.8 dB.
    expect(await steps('1 V')).toMatch(/12\.8 dB are missing, and no passive part adds them/);
  });

  test('a return of 1 Ω: how far the sides are apart, now and mended', async () => {
    const phones = coupled(tone('left', 'left') + tone('right', 'right'))
      // At the contacts, against the sleeve: what a headphone hears.
      .replaceAll('{1: LEFT, 2: RIGHT}, ground-lead: GND', '{1: J1.tip, 2: J1.ring}, ground-lead: J1.sleeve')
      .replace('load: 10 k', 'load: 32')
      .replace('R1: 470', 'R1: 10')
      .replace('R2: 470', 'R2: 10');
    // 30 Ω before 32 Ω, and the capacitor's 7.3 Ω across: |62 + j7.3|; a leak of 1/63 of it, inverted.
    const drive = 32 / Math.hypot(63, 7.26) / (5000 / 5490);
    const leak = (1 / 63) * drive;
    const one = (by: number, seed: number) => sum(times(heard(), by), hiss(seed));
    const diagnosis = await diagnosed(phones, {
      left: [one(drive, 1), one(-leak, 2)],
      right: [one(-leak, 3), one(drive, 4)],
    });
    expect(diagnosis.causes[0]!.cause).toBe('common-return');
    expect(diagnosis.remedy!.steps.join(' ')).toMatch(
      /One side now lies -3\d\.\d dB in the other at 997 Hz\. With the return as drawn/,
    );
  });

  test('cautions stand first', async () => {
    const low = sum(heard(db(-20)), hiss(1));
    const diagnosis = await diagnosed(coupled(tone('both', 'both')), { both: [sum(heard(), hiss(2)), low] });
    expect(diagnosis.remedy!.cautions.join(' ')).toMatch(/local codes/);
  });
});

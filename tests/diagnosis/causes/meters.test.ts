import { describe, expect, test } from 'vitest';
import { usualEsr } from '../../../server/src/diagnosis/causes/predict-meter';
import { verdictOf } from '../../../server/src/diagnosis/causes/verdict';
import { noiseOf, sine, sum } from '../../signal/make';
import { boardOf, diagnose, measuredAs, nameOf } from './bench';
import { coupled, diagnosed, frames, heard, rate, stage, tone } from './coupled';

/*
 * Readings of every kind as evidence, on a stage that is fed by a cell through a fuse and a diode. What is read follows from Ohm's
 * law and from what each part does by its nature: a diode's 0.6 V one way (silicon; from memory), a crystal that runs or does not.
 */
const hiss = (seed: number) => noiseOf(seed, frames, 1e-5);
const three = tone('left', 'left') + tone('right', 'right') + tone('both', 'both');
const playing = {
  left: [sum(heard(), hiss(1)), hiss(2)],
  right: [hiss(3), sum(heard(), hiss(4))],
  both: [sum(heard(), hiss(5)), sum(heard(), hiss(6))],
};
const silent = { left: [hiss(1), hiss(2)], right: [hiss(3), hiss(4)], both: [hiss(5), hiss(6)] };

const feed = {
  parts: '  D1: {kind: diode}\n  BT1: {value: 9 V}\n  F1: 500 mA\n  C5: 100 uF\n  Y1: 12 MHz\n',
  traces:
    '    - BT1.+ F1.1\n    - F1.2 D1.A\n    - D1.K U1.VDD C5.1 VDD\n    - BT1.- C5.2 GND\n    - U1.XI Y1.1\n    - U1.XO Y1.2\n',
  nets: '  VDD: {role: supply}\n',
};
const fed = stage.replace(
  '  3: GND\n',
  '  3: GND\n  4: {name: VDD, volts: [7 V, 10 V]}\n  5: {name: XI, frequency: 12 MHz}\n  6: XO\n',
);

async function read(recordings: Record<string, Float64Array[]>, ...readings: string[]) {
  const on = boardOf(coupled(three, readings, feed), fed);
  return diagnose({ board: on, figures: await measuredAs(on, recordings) });
}
/** The names of the leading group that hold nearly all of it. */
const group = (diagnosis: Awaited<ReturnType<typeof read>>) => {
  const { members, few } = verdictOf(diagnosis.causes)!;
  return members.slice(0, few).map(nameOf);
};
const total = (diagnosis: Awaited<ReturnType<typeof read>>) => verdictOf(diagnosis.causes)!.probability;

test('a healthy board read all over: as designed explains every reading', async () => {
  // 9 V less a drop of 0.65 V.
  const diagnosis = await read(
    playing,
    'VDD: 8.35 V',
    '{in: F1, amps: 35 mA}',
    'U1.XO: 12.0001 MHz',
    '{between: [D1.A, D1.K], diode: 0.58 V}',
    '{between: [D1.K, D1.A], diode: OL}',
    '{between: [C5.1, C5.2], farads: 108 uF}',
    '{between: [C5.1, C5.2], esr: 0.3 ohm}',
  );
  expect(diagnosis.causes[0]!.cause).toBe('as-designed');
  expect(diagnosis.causes[0]!.leaves).toEqual([]);
  expect(diagnosis.causes[0]!.explains).toHaveLength(10);
  expect(diagnosis.anythingWrong).toBe(false);
  expect(diagnosis.notes.join(' ')).not.toContain('Not used');
});

describe('a silent board', () => {
  test('its supply there and its clock still: the crystal before a chip held off', async () => {
    const diagnosis = await read(silent, 'VDD: 8.35 V', 'U1.XO: 0 Hz');
    expect(diagnosis.causes[0]).toMatchObject({ cause: 'open', at: ['Y1'] });
    expect(group(diagnosis)).toEqual(['open Y1', 'held-off U1']);
  });

  test('its supply there and its clock running: the crystal is cleared', async () => {
    const diagnosis = await read(silent, 'VDD: 8.35 V', 'U1.XO: 12.0001 MHz');
    expect(group(diagnosis).sort()).toEqual(['held-off U1', 'misprobed capture left capture right capture both']);
    expect(diagnosis.causes.find(({ at }) => at[0] === 'Y1')?.leaves).toEqual(['reading U1.XO 12.0001 MHz']);
  });

  test('no volts at its supply: cell, fuse, diode or a short, and not the clock', async () => {
    const diagnosis = await read(silent, 'VDD: 0.01 V');
    const { members, probability } = verdictOf(diagnosis.causes)!;
    expect(members.map(nameOf)).toEqual(
      expect.arrayContaining(['supply-missing BT1', 'open F1', 'open D1', 'short C5', 'polarity-reversed D1']),
    );
    expect(members.map(nameOf)).not.toContain('open Y1');
    expect(probability).toBeGreaterThan(0.99);
  });

  test('and 1.9 A through the fuse: a short behind it', async () => {
    const diagnosis = await read(silent, 'VDD: 0.02 V', '{in: F1, amps: 1.9 A}');
    expect(group(diagnosis).sort()).toEqual(['short C5', 'short U1.3 U1.4']);
  });

  test('and no current through the fuse: the cell, or the fuse itself', async () => {
    const diagnosis = await read(silent, 'VDD: 0.02 V', '{in: F1, amps: 0 A}');
    expect(group(diagnosis)).toEqual(['supply-missing BT1', 'open F1']);
  });

  test('the diode lets nothing through either way: open', async () => {
    const open = await read(
      silent,
      'VDD: 0.01 V',
      '{between: [D1.A, D1.K], diode: OL}',
      '{between: [D1.K, D1.A], diode: OL}',
    );
    expect(group(open)).toEqual(['open D1']);
    expect(total(open)).toBeGreaterThan(0.9);
  });

  test('the diode conducts the wrong way: fitted the wrong way round', async () => {
    const turned = await read(
      silent,
      'VDD: 0.01 V',
      '{between: [D1.A, D1.K], diode: OL}',
      '{between: [D1.K, D1.A], diode: 0.6 V}',
    );
    expect(group(turned)).toEqual(['polarity-reversed D1']);
    expect(turned.causes[0]!.words).toBe('D1 stands the wrong way round.');
  });
});

test('a shorted series diode: it plays, the supply has the whole 9 V, and both ways read nothing', async () => {
  const diagnosis = await read(
    playing,
    'VDD: 9.0 V',
    '{between: [D1.A, D1.K], diode: 2 mV}',
    '{between: [D1.K, D1.A], diode: 2 mV}',
  );
  expect(group(diagnosis)).toEqual(['short D1']);
});

test('a chip’s own junctions are no figure of the network: nothing is made of them', async () => {
  const diagnosis = await read(playing, '{between: [GND, U1.OUTL], diode: 0.55 V}');
  expect(diagnosis.causes[0]!.cause).toBe('as-designed');
  expect(diagnosis.causes[0]!.leaves).toEqual([]);
  expect(diagnosis.notes.join(' ')).toContain('Not used: reading GND U1.OUTL 0.55 V');
});

describe('a capacitor on the meter', () => {
  test('its capacitance, and in series resistance a healthy electrolytic’s: nothing wrong', async () => {
    const diagnosis = await diagnosed(
      coupled(three, ['{between: [C1.1, C1.2], farads: 19.5 uF}', '{between: [C1.1, C1.2], esr: 1.2 ohm}']),
      playing,
    );
    expect(diagnosis.causes[0]!.cause).toBe('as-designed');
    expect(diagnosis.causes[0]!.leaves).toEqual([]);
  });

  test('a fifth of it, and four times the series resistance: aged first, else not what is written', async () => {
    const diagnosis = await diagnosed(
      coupled(three, ['{between: [C1.1, C1.2], farads: 4.4 uF}', '{between: [C1.1, C1.2], esr: 6 ohm}']),
      playing,
    );
    expect(nameOf(diagnosis.causes[0]!)).toBe('aged C1');
    const own = diagnosis.causes.filter(({ at }) => at[0] === 'C1');
    expect(own.map(({ cause }) => cause)).toEqual(expect.arrayContaining(['aged', 'wrong-value']));
    expect(own.reduce((sum, { probability }) => sum + probability, 0)).toBeGreaterThan(0.7);
  });

  // Half a capacitor in series with its like reads half: C·C/(C + C).
  test('two in series, read over both: half of one, as designed', async () => {
    const diagnosis = await diagnosed(
      coupled('', ['{between: [C8.1, C9.2], farads: 5 uF}'], {
        parts: '  C8: 10 uF\n  C9: 10 uF\n',
        traces: '    - C8.1 J1.tip\n    - C8.2 C9.1\n    - C9.2 GND\n',
      }),
    );
    expect(diagnosis.causes[0]).toMatchObject({ cause: 'as-designed', leaves: [] });
    expect(diagnosis.used).toEqual(['reading C8.1 C9.2 5 uF']);
  });

  // tan δ 0.15 at 120 Hz of 22 µF is 9 Ω; a sixth of it at 100 kHz.
  test('the series resistance taken where none is stated', () => {
    expect(usualEsr(22e-6)).toBeCloseTo(0.15 / (2 * Math.PI * 120 * 22e-6) / 6, 9);
    expect(usualEsr(22e-6)).toBeGreaterThan(0.1);
    expect(usualEsr(100e-9)).toBeLessThan(0.1);
  });
});

describe('the DC of a recording', () => {
  const take = `  dc: {file: dc.wav, stimulus: silence, channels: {1: C1.2, 2: C2.2}, ground-lead: GND, full-scale: 2 V, coupling: dc}\n`;
  const still = (volts: number, seed: number) => hiss(seed).map((value) => value + volts / 2);

  test('of a silent take is used like a meter’s: none behind the coupling capacitors, as designed', async () => {
    const diagnosis = await diagnosed(coupled(take), { dc: [still(0, 1), still(0, 2)] });
    expect(diagnosis.used).toEqual(['capture dc', 'capture dc']);
    expect(diagnosis.causes[0]!.cause).toBe('as-designed');
  });

  // A shorted capacitor brings 1.65 V behind 20 Ω onto 470 Ω + 10 k ∥ 10 k: 1.65 · 5470/5490.
  test('where it is the bias: the capacitor is shorted', async () => {
    const diagnosis = await diagnosed(coupled(take), { dc: [still((1.65 * 5470) / 5490, 1), still(0, 2)] });
    expect(nameOf(diagnosis.causes[0]!)).toBe('short C1');
    expect(diagnosis.causes[0]!.probability).toBeGreaterThan(0.9);
  });

  test('an output whose bias nobody states may stand anywhere', async () => {
    const on = boardOf(coupled('', ['U1.OUTL: 1.65 V', 'U1.OUTR: 1.65 V']), stage.replaceAll('bias: 1.65 V, ', ''));
    const diagnosis = diagnose({ board: on, figures: new Map() });
    expect(diagnosis.causes[0]).toMatchObject({ cause: 'as-designed', leaves: [] });
  });
});

describe('the mains in a silent recording', () => {
  // Rectified mains is twice its frequency and multiples; hum its own (reference table of noise signatures).
  const long = 2 * rate;
  const still = (seed: number) => noiseOf(seed, long, 1e-5);
  const comb = (hertz: number) =>
    sum(...[1, 2, 3, 4].map((k) => sine({ rate, frames: long, frequency: hertz * k, amplitude: 3e-3 / k })));
  const take =
    '  quiet: {file: quiet.wav, stimulus: silence, channels: {1: LEFT, 2: RIGHT}, ground-lead: GND, full-scale: 2 V}\n';
  const odds = async (hertz: number | undefined) => {
    const on = boardOf(coupled(take, [], feed), fed);
    const noisy = (seed: number) => (hertz === undefined ? still(seed) : sum(comb(hertz), still(seed)));
    const { causes } = diagnose({ board: on, figures: await measuredAs(on, { quiet: [noisy(1), noisy(2)] }) });
    const share = (name: string) =>
      causes.filter((one) => nameOf(one) === name).reduce((all, { probability }) => all + probability, 0);
    expect(causes[0]!.cause).toBe('as-designed');
    return {
      reservoir: share('aged C5') / share('as-designed'),
      open: share('return-open J1.sleeve') / share('as-designed'),
    };
  };

  test('its ripple makes a spent reservoir likelier, its hum an open return; neither is called a finding', async () => {
    const [quiet, ripple, hum] = [await odds(undefined), await odds(100), await odds(50)];
    expect(ripple.reservoir / quiet.reservoir).toBeCloseTo(6, 3);
    expect(ripple.open / quiet.open).toBeCloseTo(1, 3);
    expect(hum.open / quiet.open).toBeCloseTo(6, 3);
    expect(hum.reservoir / quiet.reservoir).toBeCloseTo(1, 3);
  });
});

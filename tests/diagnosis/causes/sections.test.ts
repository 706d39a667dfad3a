import { expect, test } from 'vitest';
import { benchOf } from '../../../server/src/diagnosis/causes/bench';
import { Context } from '../../../server/src/diagnosis/causes/context';
import { verdictOf } from '../../../server/src/diagnosis/causes/verdict';
import { noiseOf, sine, sum } from '../../signal/make';
import { boardOf, diagnose, measuredAs, nameOf } from './bench';
import { frames, rate } from './coupled';

/*
 * A player of 0.5 V into two followers with a gain of 2 (1 + 10 k/10 k, the closed form of the non-inverting stage) on ±9 V, and a
 * volume control of 10 k in front of one of them in a second board.
 */
const player = `pinout: player
pins:
  1: {name: OUTL, role: audio-out, channel: left, return: 3, bias: 0 V, full-scale: 0.5 V, impedance: 100}
  2: {name: OUTR, role: audio-out, channel: right, return: 3, bias: 0 V, full-scale: 0.5 V, impedance: 100}
  3: GND
`;
const dual = `pinout: dual
pins: {1: OUTA, 2: INA-, 3: INA+, 4: {name: V-, role: supply}, 5: INB+, 6: INB-, 7: OUTB, 8: {name: V+, role: supply}}
sections:
  A: {kind: op-amp, plus: 3, minus: 2, out: 1}
  B: {kind: op-amp, plus: 5, minus: 6, out: 7}
`;
const board = (readings: string[], captures: string, more = '', left = 'U1.OUTL R1.1 U2.3') => `board: Followers
parts:
  U1: {pinout: player}
  U2: {pinout: dual}
  R1: 100 k
  R2: 100 k
  R3: 10 k
  R4: 10 k
  R5: 10 k
  R6: 10 k
  J1: {style: jack-trs, load: 10 k}
${more}traces:
  buzzed:
    - ${left}
    - U1.OUTR R2.1 U2.5
    - U2.1 R3.1 J1.tip LEFT
    - U2.2 R3.2 R4.1
    - U2.7 R5.1 J1.ring RIGHT
    - U2.6 R5.2 R6.1
    - U1.3 R1.2 R2.2 R4.2 R6.2 J1.sleeve GND
    - U2.8 VPOS
    - U2.4 VNEG
nets:
  GND: {role: ground}
  VPOS: {role: supply, volts: 9 V}
  VNEG: {role: supply, volts: -9 V}
  LEFT: {role: audio-out, channel: left}
  RIGHT: {role: audio-out, channel: right}
${readings.length > 0 ? `readings:\n${readings.map((line) => `  - ${line}\n`).join('')}` : ''}captures:
${captures}`;

const both =
  '  both: {file: both.wav, stimulus: {tone: 997 Hz, side: both, level: -12 dBFS}, channels: {1: J1.tip, 2: J1.ring}, ground-lead: GND, full-scale: 2 V}\n';
const hiss = (seed: number) => noiseOf(seed, frames, 1e-5);
/** 0.5 V RMS at −12 dBFS behind 100 Ω into 100 k, twice, on a recorder of 2 V peak. */
const level = (2 * 0.5 * Math.SQRT2 * 10 ** (-12 / 20) * (100e3 / 100.1e3)) / 2;
const loud = (seed: number, by = 1) => sum(sine({ rate, frames, frequency: 997, amplitude: by * level }), hiss(seed));

async function told(text: string, left: Float64Array, right: Float64Array) {
  const on = boardOf(text, player, dual);
  return diagnose({ board: on, figures: await measuredAs(on, { both: [left, right] }) });
}

test('both sections at work: as designed', async () => {
  const diagnosis = await told(board(['LEFT: 1 mV', 'RIGHT: 2 mV'], both), loud(1), loud(2));
  expect(diagnosis.causes[0]).toMatchObject({ cause: 'as-designed', leaves: [] });
});

test('one side silent at ground: the section is among the causes', async () => {
  const diagnosis = await told(board([], both), hiss(1), loud(2));
  expect(verdictOf(diagnosis.causes)!.members.map(nameOf)).toContain('side-dead U2.1');
});

test('silent and at 8.9 V: its output sticks at the supply, nothing else fits', async () => {
  const diagnosis = await told(board(['LEFT: 8.9 V'], both), hiss(1), loud(2));
  expect(nameOf(diagnosis.causes[0]!)).toBe('side-dead U2.1');
  expect(diagnosis.causes[0]!.figure).toBe('stuck at 9 V');
  expect(diagnosis.causes[0]!.probability).toBeGreaterThan(0.9);
  expect(diagnosis.causes[0]!.words).toBe('The left side is dead: U2.1 (OUTA), stuck at 9 V.');
});

test('silent and at −8.9 V: at the other one', async () => {
  const diagnosis = await told(board(['RIGHT: -8.9 V'], both), loud(1), hiss(2));
  expect(diagnosis.causes[0]).toMatchObject({ cause: 'side-dead', at: ['U2.7'], figure: 'stuck at -9 V' });
});

// The closed form 1 + Rf/Rg holds where the loop is closed through the section's own output resistance.
test('the op-amp with its loop closed gives its textbook gain, and with its output cut off nothing', () => {
  const bench = benchOf(boardOf(board([], both), player, dual).at())!;
  const context = new Context(bench, 997);
  const port = context.ports.port(bench.nodeOf('LEFT')!, bench.reference)!;
  const response = context.ports.response('U1.1');
  expect(context.view({}).across(response, port).re).toBeCloseTo((2 * 100e3) / 100.1e3, 3);
  const cut = context.view({ changes: [{ element: bench.sections[0]!.element, becomes: 'open' }] });
  expect(Math.hypot(cut.across(response, port).re, cut.across(response, port).im)).toBeLessThan(1e-4);
});

test('a volume control whose wiper touches nothing', async () => {
  const more = '  RV1: 10 k\n';
  const text = board([], both, more, 'U1.OUTL RV1.3\n    - RV1.2 R1.1 U2.3\n    - RV1.1 GND');
  const diagnosis = await told(text, hiss(1), loud(2));
  const named = diagnosis.causes.map(nameOf);
  expect(named).toContain('open RV1.2');
  const { words } = diagnosis.causes[named.indexOf('open RV1.2')]!;
  expect(words).toBe('The wiper of RV1 touches nothing.');
});

import { expect, test } from 'vitest';
import { verdictOf } from '../../../server/src/diagnosis/causes/verdict';
import { noiseOf, sine, sum, times } from '../../signal/make';
import { boardOf, diagnose, measuredAs, nameOf } from './bench';
import { coupled, diagnosed, frames, heard, normal, rate } from './coupled';

const hiss = (seed: number) => noiseOf(seed, frames, 1e-5);
const at = (name: string, side: string, points: string) =>
  `  ${name}: {file: ${name}.wav, stimulus: {tone: 997 Hz, side: ${side}, level: -12 dBFS}, channels: ${points}, ground-lead: GND, full-scale: 2 V}\n`;

// Reference table of output stages, row (e): swapped, −∞/0 and 0/−∞.
const swapped = { left: [hiss(1), sum(heard(), hiss(2))], right: [sum(heard(), hiss(3)), hiss(4)] };

test('swapped at the jack’s contacts: its leads, or the chip’s sides, and nothing tells which', async () => {
  const contacts = '{1: J1.tip, 2: J1.ring}';
  const diagnosis = await diagnosed(coupled(at('left', 'left', contacts) + at('right', 'right', contacts)), swapped);
  const { members, probability } = verdictOf(diagnosis.causes)!;
  expect(members.map(nameOf)).toEqual(['sides-exchanged U1.1 U1.2', 'sides-exchanged J1.tip J1.ring']);
  expect(probability).toBeGreaterThan(0.9);
  expect(members[1]!.words).toBe(
    'The leads of J1.tip and J1.ring are exchanged: each side carries the programme of the other.',
  );
});

test('with the copper before the leads probed too, and right there: the leads', async () => {
  const all = '{1: J1.tip, 2: J1.ring, 3: R1.2}';
  const diagnosis = await diagnosed(coupled(at('left', 'left', all) + at('right', 'right', all)), {
    left: [...swapped.left, sum(heard(), hiss(5))],
    right: [...swapped.right, hiss(6)],
  });
  expect(nameOf(diagnosis.causes[0]!)).toBe('sides-exchanged J1.tip J1.ring');
  expect(diagnosis.causes[0]!.probability).toBeGreaterThan(0.9);
  expect(diagnosis.remedy!.steps).toEqual(['Exchange the two leads at J1.tip and J1.ring.']);
});

test('hot and cold of a balanced contact pair exchanged: seen against the chip’s own pin', async () => {
  const pinout = `pinout: line
pins:
  1: {name: OUTP, role: audio-out, channel: mono, return: 3, bias: 0 V, full-scale: 1 V, impedance: 20}
  2: {name: OUTN, role: audio-out, channel: mono, return: 3, bias: 0 V, full-scale: 1 V, impedance: 20}
  3: GND
modes:
  line: {OUTP: {left: 0.5, right: 0.5}, OUTN: {left: -0.5, right: -0.5}}
`;
  const text = `board: Balanced line
parts:
  U1: {pinout: line}
  R1: 470
  R2: 470
  J1: {style: xlr-3, load: 10 k}
traces:
  buzzed:
    - U1.1 R1.1
    - U1.2 R2.1
    - R1.2 J1.2
    - R2.2 J1.3
    - U1.3 J1.1 GND
nets:
  GND: {role: ground}
captures:
${at('both', 'both', '{1: U1.1, 2: J1.2, 3: J1.3}')}`;
  // 10 k between two legs of 490 Ω: each leg keeps 1 − 490/10 980 of its own (voltage divider; Ohm's law).
  const full = (Math.SQRT2 * 10 ** (-12 / 20)) / 2;
  const tone = sine({ rate, frames, frequency: 997, amplitude: full, phase: 0.4 });
  const leg = (by: number, seed: number) => sum(times(tone, by * (1 - 490 * (2 / 10_980))), hiss(seed));
  const pin = sum(times(tone, 1 - 20 * (2 / 10_980)), hiss(9));
  const on = boardOf(text, pinout);
  const right = diagnose({ board: on, figures: await measuredAs(on, { both: [pin, leg(1, 1), leg(-1, 2)] }) });
  expect(right.causes[0]!.cause).toBe('as-designed');
  const turned = diagnose({ board: on, figures: await measuredAs(on, { both: [pin, leg(-1, 1), leg(1, 2)] }) });
  expect(nameOf(turned.causes[0]!)).toBe('polarity-reversed J1.2 J1.3');
  expect(turned.causes[0]!.words).toBe('The leads of J1.2 and J1.3 are exchanged: what comes out is turned over.');
  expect(normal).toBeLessThan(full);
});

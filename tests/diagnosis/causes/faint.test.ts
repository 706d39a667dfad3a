import { describe, expect, test } from 'vitest';
import { headline, verdictOf } from '../../../server/src/diagnosis/causes/verdict';
import { noiseOf, sine, sum } from '../../signal/make';
import { boardOf, diagnose, measuredAs, nameOf } from './bench';

/** Faults between there and not there: a lower side, a leak, a meter that meets what the board has apart. */

const stage = `board: Clip player
parts:
  U1: {pins: {1: OUTL, 2: OUTR, 3: GND, 4: VCC}}
  C1: 220u 16V
  C2: 220u 16V
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
    - U1.1 C1.+
    - C1.- J1.tip
    - U1.2 C2.+
    - C2.- J1.ring
    - J1.sleeve U1.3 GND
    - U1.4 VCC
nets:
  GND: {role: ground}
  VCC: {role: supply, volts: 5 V}
`;

describe('one side 6 dB lower, an output whose impedance nobody has stated', () => {
  const board = boardOf(`${stage}captures:
  both: {file: a.wav, stimulus: {tone: 997 Hz, side: both}, channels: {1: J1.tip, 2: J1.ring}}
`);
  const tone = (amplitude: number, seed: number) =>
    sum(sine({ rate: 48000, frames: 48000, frequency: 997, amplitude }), noiseOf(seed, 48000, 1e-4));
  const found = measuredAs(board, { both: [tone(0.2, 1), tone(0.1, 2)] }).then((figures) =>
    diagnose({ board, figures }),
  );

  test('is the lower side of a source; a short that halves it exactly is not thought of', async () => {
    const { causes } = await found;
    expect(nameOf(causes[0]!)).toBe('one-sided-source U1.2');
    expect(causes[0]!.words).toMatch(/the right side is fed about [58] dB lower than the other/i);
    const short = causes.find((cause) => nameOf(cause) === 'short U1.2 U1.3');
    expect(short?.probability ?? 0).toBeLessThan(0.01);
  });
});

test('what a meter meets between contacts that are no neighbours is a short of these', () => {
  const board = boardOf(`${stage}readings:\n  - {between: [J1.tip, GND], ohms: 0.2}\n`);
  const { causes, notes } = diagnose({ board, figures: new Map() });
  expect(nameOf(causes[0]!)).toBe('short J1.tip J1.sleeve');
  expect(causes[0]!.probability).toBeGreaterThan(0.5);
  expect(headline(verdictOf(causes)!)).toMatch(
    /or nothing is wrong on the board, and what reading J1.tip GND 0.2 shows was taken wrongly/,
  );
  // Nothing was recorded: there is nothing to say of recorders.
  expect(notes.join(' ')).not.toMatch(/recorder/);
});

test('a mid-rail pulled down: its electrolytic leaks, sooner than a resistor is another', () => {
  const board = boardOf(`board: Preamp
parts:
  R5: 47 k
  R6: 47 k
  C5: 100 uF 16 V
traces:
  buzzed:
    - R5.1 VCC
    - R5.2 R6.1 C5.+ VMID
    - R6.2 C5.- GND
nets:
  GND: {role: ground}
  VCC: {role: supply, volts: 9 V}
readings:
  - VCC: 9.05 V
  - VMID: 0.3 V
`);
  const { causes, remedy } = diagnose({ board, figures: new Map() });
  expect(nameOf(causes[0]!)).toBe('short C5');
  expect(causes[0]!.words).toMatch(/C5 leaks, about 1 kΩ across it|C5 leaks, about 3 kΩ across it/);
  expect(remedy!.steps.join(' ')).toContain('Lift one leg of C5');
  expect(causes.filter(({ group }) => group === 1).map(nameOf)).toContain('wrong-value R6');
});

test('hum that no cause explains is not passed over', async () => {
  const board = boardOf(`${stage}captures:
  quiet: {file: a.wav, stimulus: silence, channels: {1: J1.tip, 2: J1.ring}}
`);
  const hum = sum(
    ...[1, 2, 3, 4, 5, 6].map((k) => sine({ rate: 48000, frames: 96000, frequency: 100 * k, amplitude: 0.01 / k })),
    noiseOf(3, 96000, 1e-4),
  );
  const { notes } = diagnose({ board, figures: await measuredAs(board, { quiet: [hum, hum] }) });
  expect(notes.join(' ')).toMatch(/What may be ripple of the mains is heard.*see `hum-present`/);
});

import { describe, expect, test } from 'vitest';
import { unforeseen } from '../../../server/src/diagnosis/causes/unforeseen';
import { headline, verdictOf } from '../../../server/src/diagnosis/causes/verdict';
import { boardOf, diagnose, nameOf } from './bench';

/*
 * What the network does not hold proves nothing: a transistor's own current, an electret's, what comes in from outside. The volts
 * follow from Ohm's law and from 0.6 to 0.7 V between base and emitter (silicon; from memory).
 */
const asked = (text: string, ...sheets: string[]) => diagnose({ board: boardOf(text, ...sheets), figures: new Map() });
const group = (diagnosis: ReturnType<typeof asked>) => verdictOf(diagnosis.causes)!.members.map(nameOf);

const pedal = (...readings: string[]) => `board: Fuzz pedal
parts: {J1: {style: barrel}, D1: 1N5817, Q1: {kind: npn, pins: B E C}, R1: 1 M, R2: 10 k, R3: 100 k, R4: 1 k, C3: 100 uF 16 V}
nets: {GND: {role: ground}, V9: {role: supply, volts: 9 V}}
traces:
  buzzed:
    - J1.centre D1.A
    - D1.K R2.1 R1.1 C3.+ V9
    - J1.sleeve C3.- R4.2 R3.2 GND
    - Q1.B R1.2 R3.1
    - Q1.C R2.2
    - Q1.E R4.1
readings:
${readings.map((one) => `  - ${one}\n`).join('')}`;

describe('a transistor stage behind a diode', () => {
  test('read where it is well: nothing is wrong, and what says nothing is named', () => {
    // 0.78 − 0.64 = 0.14 V on 1 kΩ: 0.14 mA, and 1.4 V on the 10 kΩ above.
    const found = asked(pedal('J1.centre: 9.3 V', 'V9: 9.05 V', 'Q1.B: 0.78 V', 'Q1.E: 0.14 V', 'Q1.C: 7.6 V'));
    expect(found.causes[0]).toMatchObject({ cause: 'as-designed', leaves: [] });
    expect(found.notes.join(' ')).toContain('reading Q1.C 7.6 V: what Q1 takes is not known');
    expect(found.notes.join(' ')).toContain('reading J1.centre 9.3 V: what J1 gives is not known');
  });

  test('its supply dead: that, and not the volts at the socket', () => {
    expect(group(asked(pedal('J1.centre: 9.3 V', 'V9: 0 V')))).toEqual(['supply-missing V9', 'short C3']);
  });
});

test('a transistor that no supply reaches takes nothing: the DC behind a coupling capacitor stays a fact', () => {
  const { copper } = {
    copper: boardOf(`board: Muted output
parts: {C1: 10 uF, R1: 10 k, R2: 4k7, Q1: {kind: npn, pins: B E C}, MK1: electret, R3: 2k2}
nets: {GND: {role: ground}, V5: {role: supply, volts: 5 V}}
traces:
  buzzed:
    - C1.2 R1.1 Q1.C
    - Q1.B R2.1
    - R1.2 Q1.E MK1.2 GND
    - V5 R3.1
    - R3.2 MK1.1
`).at(),
  };
  expect(unforeseen(copper, 'C1.2')).toBeUndefined();
  expect(unforeseen(copper, 'V5')).toBeUndefined();
  expect(unforeseen(copper, 'MK1.1')).toBe('what MK1 takes is not known');
});

const bridged = `pinout: ba8801
pins:
  1: IN-
  2: GND
  3: {name: VO1, role: audio-out, return: 5, bias: 2.5 V, impedance: 0.2}
  4: {name: VDD, volts: [2.7 V, 5.5 V]}
  5: {name: VO2, role: audio-out, return: 3, bias: 2.5 V, impedance: 0.2}
sections: {P: {kind: amplifier, plus: 1, out: [3, 5], gain: 12 dB}}
`;
const doorbell = (...readings: string[]) => `board: Doorbell
parts: {U1: {pinout: ba8801}, LS1: 8, C1: 220 nF, R1: 22 k, J1: {style: jack-ts}}
nets: {GND: {role: ground}, V5: {role: supply, volts: 5 V}}
traces:
  buzzed:
    - U1.VDD V5
    - U1.GND J1.sleeve GND
    - J1.tip C1.1
    - C1.2 R1.1
    - R1.2 U1.IN-
    - U1.VO1 LS1.1 SPK+
    - U1.VO2 LS1.2 SPK-
readings:
${readings.map((one) => `  - ${one}\n`).join('')}`;

describe('a loudspeaker', () => {
  test('reads less at DC than it is rated (IEC 60268-5 lets it fall to 80 %)', () => {
    const found = asked(doorbell('{between: [LS1.1, LS1.2], ohms: 6.9}'), bridged);
    expect(found.causes[0]).toMatchObject({ cause: 'as-designed', leaves: [] });
  });

  test('that reads nothing is open, whatever chip hangs on it', () => {
    const found = asked(doorbell('SPK+: 2.5 V', 'LS1.1 LS1.2: OL'), bridged);
    expect(nameOf(found.causes[0]!)).toBe('open LS1');
  });

  test('with one leg of its amplifier at ground: a blown leg is among the causes', () => {
    const found = asked(doorbell('SPK+: 2.5 V', 'SPK-: 0.02 V'), bridged);
    expect(group(found)).toContain('side-dead U1.5');
  });
});

const stage = `pinout: jw072
pins: {1: OUTA, 2: INA-, 3: INA+, 4: V-, 8: V+}
sections: {A: {kind: op-amp, plus: 3, minus: 2, out: 1}}
`;
test('a generator into one input needs no side: a feedback resistor ten times too large is found', () => {
  const text = `board: Microphone card
parts: {U1: {pinout: jw072}, J1: {style: jack-ts}, R1: 10 k, R2: 22 k, R3: 1 M}
nets: {GND: {role: ground}, V9: {role: supply, volts: 9 V}}
traces:
  buzzed:
    - J1.tip R1.1
    - R1.2 U1.INA- R2.1
    - R2.2 U1.OUTA R3.1 OUT
    - U1.INA+ U1.V- R3.2 J1.sleeve GND
    - U1.V+ V9
readings:
  - {at: OUT, ac: LEVEL, stimulus: {tone: 997 Hz, level: 10 mV, into: [J1.tip, GND]}}
`;
  // 10 mV × 22 k / 10 k, and × 220 k / 10 k.
  expect(asked(text.replace('LEVEL', '22 mV'), stage).causes[0]).toMatchObject({ cause: 'as-designed', leaves: [] });
  const found = asked(text.replace('LEVEL', '220 mV'), stage);
  expect(found.used).toEqual(['reading OUT 220 mV']);
  expect(found.anythingWrong).toBe(true);
  expect(group(found)).toContain('wrong-value R2');
});

test('what does not fit a board with nothing wrong is named, and not said away', () => {
  // 15 V where 8 V is stated: nothing here raises a supply.
  const found = asked(`board: Bath speaker
parts: {R1: 120 k, R2: 10 k, C1: 22 uF}
nets: {GND: {role: ground}, V8: {role: supply, volts: 8 V}}
traces:
  buzzed:
    - V8 R1.1 C1.1
    - R1.2 R2.1
    - R2.2 C1.2 GND
readings:
  - V8: 15.2 V
`);
  const designed = found.causes.find(({ cause }) => cause === 'as-designed')!;
  expect(designed.leaves).toEqual(['reading V8 15.2 V']);
  expect(designed.words).toContain('but reading V8 15.2 V does not fit that');
  if (found.causes[0] === designed) expect(headline(verdictOf(found.causes)!)).toContain('nothing else is wrong');
});

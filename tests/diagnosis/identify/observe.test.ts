import { describe, expect, test } from 'vitest';
import { observe } from '../../../server/src/diagnosis/identify/observe';
import type { RecordingFigures } from '../../../server/src/signal/figures';
import { board, fw2210 } from './at-bench';

/** What is seen of U1's pins on a board, by pin. */
function seenOn(text: string, figures?: ReadonlyMap<string, RecordingFigures>) {
  const made = board(text, fw2210);
  return new Map(observe(made, made.at().parts.get('U1')!, figures).map((pin) => [pin.pin, pin]));
}

describe('what copper shows of a pin', () => {
  const seen = seenOn(`board: Whole
complete: true
parts:
  U1: {pinout: fw2210}
  U2: {pins: {1: VCC, 2: VSS, 3: SDA, 4: AINL}}
  Y1: 12 MHz
  C1: 22 pF
  C2: 22 uF
  C3: 100 nF
  C4: 1 uF
  R1: 10 k
  R2: 100
  R3: 1 k
  R4: 0
  LED1: red
  FB1: {value: 600}
  SW1: {}
  AE1: {}
  L1: 4.7 nH
  J1: {style: jack-trs}
  J2: {style: usb-c}
traces:
  buzzed:
    - U1.1 FB1.1
    - FB1.2 VSYS
    - U1.2 R4.1
    - R4.2 GND
    - U1.3 C3.1
    - U1.4 R1.1
    - U1.5 U2.3
    - U1.6 J2.dp
    - U1.8 LED1.A
    - LED1.K R3.1
    - U1.9 C1.1 Y1.1
    - U1.10 Y1.2
    - U1.11 SW1.1
    - U1.12 AE1 L1.1
    - U1.13 R2.1
    - U1.14 C2.+
    - U1.16
    - J1.tip C2.-
    - J1.ring R2.2
    - GND C1.2 C3.2 C4.2 R3.2 SW1.2 L1.2 J1.sleeve J2.gnd
    - R1.2 VSYS
  assumed:
    - U1.15 U2.4
nets:
  GND: {role: ground}
  VSYS: {role: supply, volts: [3.2 V, 3.4 V]}
`);
  test.each([
    ['1', 'supply', 'through a ferrite'],
    ['2', 'ground', 'through 0 Ω'],
    ['3', 'decoupling', 'a capacitor to ground and nothing else'],
    ['4', 'pulled', 'a resistor to a supply and nothing else'],
    ['5', 'line', 'another chip’s data pin'],
    ['6', 'data', 'a data contact'],
    ['8', 'led', 'an LED'],
    ['9', 'clock', 'a crystal'],
    ['10', 'clock', 'the crystal’s other end'],
    ['11', 'control', 'a button to ground'],
    ['12', 'antenna', 'an antenna with a coil to ground: no strap'],
    ['13', 'audio-divided', 'a contact through a resistor'],
    ['14', 'audio-coupled', 'a contact through a capacitor'],
    ['15', 'audio-straight', 'the audio input of another chip'],
    ['16', 'nothing', 'looked for, reaches nothing'],
  ])('pin %s: %s, %s', (pin, kind) => {
    expect(seen.get(pin)?.copper?.kind).toBe(kind);
  });

  test('a pin nobody visited has no entry', () => expect(seen.has('7')).toBe(false));
  test('the side of the contact', () => {
    expect(seen.get('14')?.copper?.side).toBe('left');
    expect(seen.get('13')?.copper?.side).toBe('right');
  });
  test('the volts of the supply: the middle of what is stated', () => expect(seen.get('1')?.copper?.volts).toBe(3.3));
  test('how it is known: the weakest join on the way', () => {
    expect(seen.get('15')?.copper?.evidence).toBe('assumed');
    expect(seen.get('14')?.copper?.evidence).toBe('buzzed');
    expect(seen.get('14')?.copper?.joins).toHaveLength(2);
  });
  test('all is listed: nothing rests on what has not been found', () =>
    expect([...seen.values()].some((pin) => pin.copper?.unfinished)).toBe(false));
});

describe('one observation a pin and net', () => {
  test('however many joins say it, and whatever its neighbours on the net', () => {
    const seen = seenOn(`board: Grounds
parts: {U1: {pinout: fw2210}}
traces:
  buzzed: [U1.2 U1.12 GND, U1.2 GND, U1.2 U1.12]
  seen: [U1.2 GND]
nets: {GND: {role: ground}}
`);
    expect([...seen.keys()]).toEqual(['2', '12']);
    expect(seen.get('2')?.copper).toMatchObject({ kind: 'ground', evidence: 'buzzed' });
  });

  test('what the stated pinout says of the part’s own pins is no evidence for it', () => {
    const seen = seenOn('board: Own\nparts: {U1: {pinout: fw2210}}\ntraces: {buzzed: [U1.2 U1.12, U1.1 U1.7]}\n');
    expect([...seen.values()].map((pin) => pin.copper?.kind)).toEqual([]);
  });

  test('a supply’s voltage is shared by the pins on it', () => {
    const seen = seenOn(`board: Rail
parts: {U1: {pinout: fw2210}}
traces: {buzzed: [U1.1 U1.7 VSYS]}
nets: {VSYS: {role: supply}}
readings: [VSYS: 3.3 V]
`);
    expect(seen.get('1')?.copper).toMatchObject({ volts: 3.3, sharedBy: 2 });
  });
});

describe('while the board is unfinished', () => {
  const seen = seenOn(`board: Begun
parts: {U1: {pinout: fw2210}, C1: 100 nF, C2: 18 pF, C3: 22 uF, R1: 10 k, J1: {style: jack-trs}}
traces:
  buzzed: [U1.11 C1.1, C1.2 GND, U1.9 C2.1, C2.2 GND, U1.14 C3.+, C3.- J1.tip, U1.13 R1.1, U1.5 U1.6 FOO]
nets: {GND: {role: ground}}
`);
  test('a capacitor alone so far', () =>
    expect(seen.get('11')?.copper).toMatchObject({ kind: 'decoupling', unfinished: true }));
  test('a small one is a crystal’s load', () => expect(seen.get('9')?.copper).toMatchObject({ kind: 'clock' }));
  test('a contact through a capacitor is a contact, whatever else is there', () =>
    expect(seen.get('14')?.copper).toEqual(expect.not.objectContaining({ unfinished: true })));
  test('a part whose other end nobody has followed', () => expect(seen.get('13')?.copper?.kind).toBe('unsettled'));
  test('a net without a role says nothing', () => expect(seen.has('5')).toBe(false));
});

describe('meters and recordings', () => {
  test('DC, a clock, sound; ohms and beeps stand in for copper', () => {
    const seen = seenOn(`board: Metered
parts: {U1: {pinout: fw2210}, BT1: 3.7 V}
traces: {buzzed: [BT1.- GND, BT1.+ VBAT]}
nets: {GND: {role: ground}}
readings:
  - U1.14: 1.64 V
  - U1.11 GND: 1.65 V
  - GND U1.4: -3.3 V
  - U1.10: 12.0001 MHz
  - U1.12 GND: 0.2 ohm
  - {between: [U1.1, BT1.+], beeps: yes}
  - {between: [U1.7, GND], beeps: no}
  - {at: U1.13, ac: 0.2 V, stimulus: {tone: 997 Hz, side: both}}
  - {at: U1.5, ac: 0.2 V, stimulus: silence}
`);
    expect(seen.get('14')?.dc).toMatchObject({ volts: 1.64, evidence: 'measured', facts: ['reading U1.14 1.64 V'] });
    expect(seen.get('11')?.dc?.volts).toBe(1.65);
    expect(seen.get('4')?.dc?.volts).toBe(3.3);
    expect(seen.get('10')?.clock?.hertz).toBe(12.0001e6);
    expect(seen.get('12')?.copper).toMatchObject({ kind: 'ground', evidence: 'measured' });
    expect(seen.get('1')?.copper).toMatchObject({ kind: 'supply', evidence: 'measured' });
    expect(seen.get('7')).toMatchObject({ notGround: { evidence: 'measured' } });
    expect(seen.get('13')?.audio?.present).toBe(true);
    expect(seen.has('5')).toBe(false);
  });

  test('`apart`: a pin that is not at ground', () => {
    const seen = seenOn(`board: Apart
parts: {U1: {pinout: fw2210}}
traces: {apart: [U1.7 GND]}
nets: {GND: {role: ground}}
`);
    expect(seen.get('7')).toMatchObject({ notGround: { evidence: 'measured' } });
  });

  test('a recording with sound in it, and one whose copper a rework has changed', () => {
    const text = `board: Recorded
parts: {U1: {pinout: fw2210}}
traces: {buzzed: [U1.14 OUT]}
captures:
  played: {file: a.wav, stimulus: {programme: speech}, channels: {1: U1.14}}
`;
    const channels = [{ name: '1', rms: 0.1 }];
    const figures = new Map([['played', { channels } as unknown as RecordingFigures]]);
    expect(seenOn(text, figures).get('14')?.audio).toMatchObject({ present: true, facts: ['capture played'] });
    expect(seenOn(text).get('14')).toBeUndefined();
    const later = `${text}reworks: [{name: lifted, cuts: [U1.14 OUT]}]\n`;
    expect(seenOn(later, figures).get('14')).toBeUndefined();
  });
});

/** The single-ended board's converter on other grounds and feeds: the lines that differ from it. */
const stage = (title: string, parts: string, joins: string, nets: string): string => `board: ${title}
complete: true
parts:
  U1: {pinout: dac}
  C1: 100 nF 16 V
  C2: 22 uF 6.3 V
  C3: 22 uF 6.3 V
  R3: 47 k
  R4: 47 k
  R5: 10 k
  R6: 10 k
  J1: {style: jack-trs, load: 10 k}
${parts}traces:
  buzzed:
    - U1.AVDD C1.1 R5.1 V33
    - U1.AOUTL C2.+
    - U1.AOUTR C3.+
    - C2.- R3.1 J1.tip
    - C3.- R4.1 J1.ring
    - U1.nRESET R5.2
    - U1.MUTE R6.1
    - U1.XIN
    - U1.XOUT
${joins}nets:
${nets}`;

const oneGround = '    - U1.AGND C1.2 R3.2 R4.2 R6.2 J1.sleeve GND\n';
const twoGrounds = '    - U1.AGND C1.2 R6.2 AGND\n    - R3.2 R4.2 J1.sleeve PGND\n';
const v33 = '  V33: {role: supply, volts: 3.3 V}\n';

/** Grounds in parts, and every way to be fed. */
export const groundsAndFeeds: Readonly<Record<string, string>> = {
  'split ground through 0 Ω': stage(
    'Two grounds, one strap',
    '  R9: 0\n',
    `${twoGrounds}    - R9.1 AGND\n    - R9.2 PGND\n`,
    `  AGND: {role: ground}\n  PGND: {role: ground}\n${v33}`,
  ),
  'split ground through a ferrite': stage(
    'Two grounds, one ferrite',
    '  FB1: 600\n',
    `${twoGrounds}    - FB1.1 AGND\n    - FB1.2 PGND\n`,
    `  AGND: {role: ground}\n  PGND: {role: ground}\n${v33}`,
  ),
  'chassis by resistor and capacitor': stage(
    'Case joined by R and C',
    '  R8: 1 M\n  C8: 10 nF 250 V\n  TP1:\n',
    `${oneGround}    - R8.1 C8.1 GND\n    - R8.2 C8.2 TP1 CASE\n`,
    `  GND: {role: ground}\n  CASE: {role: chassis}\n${v33}`,
  ),
  'usb-fed': stage(
    'Fed over USB through ferrite and regulator',
    '  U2: {pinout: reg33}\n  J2: usb-micro-b\n  FB1: 600\n  C6: 1 uF 16 V\n  C7: 1 uF 10 V\n',
    `${oneGround}    - J2.vbus FB1.1
    - FB1.2 C6.1 U2.VIN VUSB
    - U2.VOUT C7.1 V33
    - U2.GND C6.2 C7.2 J2.gnd GND
`,
    '  GND: {role: ground}\n  VUSB: {role: supply, volts: [4.4 V, 5.25 V]}\n  V33: {role: supply, volts: 3.3 V}\n',
  ),
  'cell-fed': stage(
    'Fed by a lithium cell through fuse and switch',
    '  U2: {pinout: reg33}\n  BT1: {value: 3.7 V, chemistry: lithium-ion}\n  F1: 500 mA\n  SW1:\n  C6: 1 uF 16 V\n  C7: 1 uF 10 V\n',
    `${oneGround}    - BT1.+ F1.1
    - F1.2 SW1.1
    - SW1.2 C6.1 U2.VIN
    - U2.VOUT C7.1 V33
    - U2.GND C6.2 C7.2 BT1.- GND
`,
    '  GND: {role: ground}\n  V33: {role: supply}\n',
  ),
  'vehicle-fed': stage(
    'Fed by a vehicle through fuse, diode and surge clamp',
    '  U2: {pinout: reg33}\n  J2: barrel\n  F1: 1 A\n  D1:\n  D2: {kind: tvs}\n  C6: 10 uF 50 V\n  C7: 1 uF 10 V\n',
    `${oneGround}    - J2.centre F1.1
    - F1.2 D1.A D2.K V12
    - D1.K C6.1 U2.VIN
    - U2.VOUT C7.1 V33
    - U2.GND C6.2 C7.2 D2.A J2.sleeve GND
`,
    '  GND: {role: ground}\n  V12: {role: supply, volts: [9 V, 15 V]}\n  V33: {role: supply}\n',
  ),
  'fed through a transistor': stage(
    'Switched by a p-channel transistor, with a lamp',
    '  Q1: {kind: pmos}\n  R8: 100 k\n  R9: 470\n  LED1:\n  C7: 1 uF 10 V\n  SW1:\n',
    `${oneGround}    - Q1.S R8.1 V33RAW
    - Q1.G R8.2 SW1.1
    - Q1.D R9.1 C7.1 V33
    - R9.2 LED1.A
    - LED1.K SW1.2 C7.2 GND
`,
    '  GND: {role: ground}\n  V33RAW: {role: supply, volts: 3.3 V}\n  V33: {role: supply}\n',
  ),
};

import { beside, converter, converterJoins, type MeasuredBoard, v33 } from './measured-board';

/** One leg of a balanced driver into half of 10 kΩ, behind 50 Ω. */
const leg = 5000 / (5000 + 50);
const balanced = `board: Balanced stage box
complete: true
parts:
  U1: {pinout: centred}
  U2: {pinout: pairdriver}
  U3: {pinout: pairdriver}
  C1: 100 nF 50 V
  C2: 100 nF 50 V
  C3: 100 nF 50 V
  J1: {style: xlr-3, load: 10 k}
  J2: {style: xlr-3, load: 10 k}
traces:
  buzzed:
    - U1.VDD C3.1 V33
    - U1.GND U2.GND U3.GND C1.2 C2.2 C3.2 J1.1 J2.1 GND
    - U2.V+ U3.V+ C1.1 +15V
    - U2.V- U3.V- C2.1 -15V
    - U1.OUTL U2.IN
    - U1.OUTR U3.IN
    - U2.OUT+ J1.2
    - U2.OUT- J1.3
    - U3.OUT+ J2.2
    - U3.OUT- J2.3
nets:
  GND: {role: ground}
  V33: {role: supply, volts: 3.3 V}
  +15V: {role: supply, volts: 15 V}
  -15V: {role: supply, volts: -15 V}
`;

/** Balanced, bridged and mono: where two points are no left and right. */
export const measuredOthers: Readonly<Record<string, MeasuredBoard>> = {
  'balanced outputs, the hot contacts': {
    text: balanced,
    points: ['J1.2', 'J2.2'],
    clip: 'GND',
    fullScale: 2,
    gains: (off) => [
      [leg * off(6), 0],
      [0, leg * off(6)],
    ],
    stereo: false,
    predicted: true,
  },
  'balanced outputs, by differential probes': {
    text: balanced,
    points: ['[J1.2, J1.3]', '[J2.2, J2.3]'],
    clip: 'GND',
    fullScale: 2,
    gains: (off) => [
      [2 * leg * off(6), 0],
      [0, 2 * leg * off(6)],
    ],
    stereo: false,
    predicted: true,
  },
  'balanced output, both legs': {
    text: balanced,
    points: ['J1.2', 'J1.3'],
    clip: 'GND',
    fullScale: 2,
    gains: (off) => [
      [leg * off(6), 0],
      [-leg * off(6), 0],
    ],
    stereo: false,
    predicted: true,
  },
  'mono converter, bridge into a loudspeaker': {
    text: `board: Announcements
complete: true
parts:
  U1: {pinout: dac, mode: mono}
  U2: {pinout: bridge}
  C1: 100 nF 16 V
  C2: 1 uF 10 V
  C3: 1 uF 10 V
  C4: 10 uF 10 V
  R2: 20 k
  R5: 10 k
  R6: 10 k
  R7: 20 k
  LS1: 8
traces:
  buzzed:
    - U1.AVDD C1.1 R5.1 V33
    - U1.AGND C1.2 C2.2 C4.2 R6.2 U2.GND GND
    - U1.AOUTL C3.1
    - U1.AOUTR
    - U1.nRESET R5.2
    - U1.MUTE R6.1
    - U1.XIN
    - U1.XOUT
    - C3.2 R2.1
    - R2.2 U2.INN
    - U2.BYPASS U2.INP C2.1
    - U2.VDD C4.1 R7.1 V5
    - U2.SHDN R7.2
    - U2.VO+ LS1.+
    - U2.VO- LS1.-
nets:
${v33}
  V5: {role: supply, volts: 5 V}
`,
    points: ['LS1.+', 'LS1.-'],
    clip: 'GND',
    fullScale: 0.8,
    // 12 dB over both legs, inverting: half of it a leg, of half of each programme.
    gains: (off) => {
      const each = (10 ** (12 / 20) / 2) * 0.5 * off(6);
      return [
        [-each, -each],
        [each, each],
      ];
    },
    stereo: false,
    predicted: true,
  },
  'a converter in its mono mode, both outputs in use': {
    text: `board: Door station
complete: true
parts:
${converter.replace('mode: stereo', 'mode: mono')}
  R3: 47 k
  R4: 47 k
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
${converterJoins}
    - U1.AGND C1.2 R3.2 R4.2 R6.2 J1.sleeve GND
    - C2.- R3.1 J1.tip
    - C3.- R4.1 J1.ring
nets:
${v33}
`,
    points: ['J1.tip', 'J1.ring'],
    clip: 'GND',
    fullScale: 0.8,
    gains: (off) => {
      const load = beside(47e3, 10e3);
      const side = () => ((0.5 * load) / (20 + load)) * off(3);
      const [left, right] = [side(), side()];
      return [
        [left, left],
        [right, right],
      ];
    },
    stereo: false,
    predicted: true,
  },
};

import { healthy } from './healthy';

/**
 * Healthy boards with what a recorder hears on them. The gains are closed forms of the parts, written out by hand here and sharing
 * nothing with the network solver; `off` is what chance makes of a part within its tolerance.
 */
export interface MeasuredBoard {
  readonly text: string;
  /** Points of channels 1 and 2, and where the clip sits. */
  readonly points: readonly [string, string];
  readonly clip: string;
  /** V RMS of a 0 dBFS sine at the chip. */
  readonly fullScale: number;
  /** Of each point, V per V of the left and of the right output, for parts that are off by what `off` says. */
  readonly gains: (off: Off) => readonly [readonly [number, number], readonly [number, number]];
  /** Whether the two points are a left and a right that may be mutated as such. */
  readonly stereo: boolean;
  /** Whether the network knows the way well enough to predict the level. */
  readonly predicted: boolean;
}

/** A factor near 1 for a part: by its tolerance in per cent, by chance. */
export type Off = (percent: number) => number;

const beside = (...ohms: readonly number[]) => 1 / ohms.reduce((sum, one) => sum + 1 / one, 0);

/** Sheets that the corpus has not: a stereo player on ground, a stereo pair of balanced drivers, a boost converter. */
export const moreSheets: Readonly<Record<string, string>> = {
  centred: `pinout: centred
describes: Stereo converter about ground
package: {style: sop-8, pins: 8}
pins:
  1: {name: VDD, volts: [3.0 V, 3.6 V]}
  2: GND
  3: {name: OUTL, role: audio-out, channel: left, return: GND, bias: 0 V, full-scale: 2 V, impedance: 100, min-load: 2 k}
  4: {name: OUTR, role: audio-out, channel: right, return: GND, bias: 0 V, full-scale: 2 V, impedance: 100, min-load: 2 k}
  5: SDA
  6: SCL
  7: NC
  8: VNEG
`,
  pairdriver: `pinout: pairdriver
describes: Balanced line driver, 6 dB
package: {style: sop-8, pins: 8}
pins:
  1: {name: OUT-, role: audio-out, return: 8, bias: 0 V, impedance: 50, min-load: 600}
  2: GND
  3: {name: IN, role: audio-in}
  4: {name: V-, volts: [-18 V, -4 V]}
  5: NC
  6: {name: V+, volts: [4 V, 18 V]}
  7: NC
  8: {name: OUT+, role: audio-out, return: 1, bias: 0 V, impedance: 50, min-load: 600}
sections:
  P: {kind: amplifier, plus: 3, out: [8, 1], gain: 6.0206 dB}
`,
  boost: `pinout: boost
describes: 5 V boost converter
package: {style: sot-23-3, pins: 3}
pins: {1: GND, 2: {name: VOUT, volts: 5 V}, 3: {name: VIN, volts: [2.5 V, 4.5 V]}}
sections:
  R: {kind: regulator, in: 3, out: 2, volts: 5 V}
`,
};

const converter = `  U1: {pinout: dac, mode: stereo}
  C1: 100 nF 16 V
  C2: 22 uF 6.3 V
  C3: 22 uF 6.3 V
  R5: 10 k
  R6: 10 k`;
const converterJoins = `    - U1.AVDD C1.1 R5.1 V33
    - U1.AOUTL C2.+
    - U1.AOUTR C3.+
    - U1.nRESET R5.2
    - U1.MUTE R6.1
    - U1.XIN
    - U1.XOUT`;
const v33 = '  GND: {role: ground}\n  V33: {role: supply, volts: 3.3 V}';

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

export const measuredBoards: Readonly<Record<string, MeasuredBoard>> = {
  'line output, AC-coupled': {
    text: `board: Wall panel
complete: true
parts:
${converter}
  R1: 100
  R2: 100
  R3: 47 k
  R4: 47 k
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
${converterJoins}
    - U1.AGND C1.2 R3.2 R4.2 R6.2 J1.sleeve GND
    - C2.- R1.1
    - C3.- R2.1
    - R1.2 R3.1 J1.tip OUT_L
    - R2.2 R4.1 J1.ring OUT_R
nets:
${v33}
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
`,
    points: ['OUT_L', 'OUT_R'],
    clip: 'GND',
    fullScale: 0.8,
    gains: (off) => {
      const side = () => {
        const load = beside(47e3 * off(1), 10e3 * off(5));
        return (load / (20 + 100 * off(1) + load)) * off(6);
      };
      return [
        [side(), 0],
        [0, side()],
      ];
    },
    stereo: true,
    predicted: true,
  },
  'two RCA contacts straight from a converter about ground, USB-fed': {
    text: `board: Shelf player
complete: true
parts:
  U1: {pinout: centred}
  U2: {pinout: reg33}
  C1: 100 nF 16 V
  C4: 1 uF 16 V
  FB1: 600
  J3: usb-micro-b
  J1: {style: rca, load: 47 k}
  J2: {style: rca, load: 47 k}
traces:
  buzzed:
    - J3.vbus FB1.1
    - FB1.2 C4.1 U2.VIN VUSB
    - U2.VOUT U1.VDD C1.1 V33
    - U1.GND C1.2 C4.2 U2.GND J3.gnd J1.shell J2.shell GND
    - U1.OUTL J1.centre
    - U1.OUTR J2.centre
    - U1.SDA
    - U1.SCL
    - U1.VNEG
    - U1.NC
nets:
${v33}
  VUSB: {role: supply, volts: [4.4 V, 5.25 V]}
`,
    points: ['J1.centre', 'J2.centre'],
    clip: 'GND',
    fullScale: 2,
    gains: (off) => {
      const side = () => ((47e3 * off(5)) / (100 * off(10) + 47e3)) * off(6);
      return [
        [side(), 0],
        [0, side()],
      ];
    },
    stereo: true,
    predicted: true,
  },
  'headphones about ground, return by a thin strap': {
    text: `board: Museum headphones
complete: true
parts:
  U1: {pinout: pumped}
  C1: 1 uF 6.3 V
  C2: 1 uF 6.3 V
  C3: 1 uF 6.3 V
  FB1: {value: 120, dcr: 10 mohm}
  J1: {style: jack-trs, load: 32}
traces:
  buzzed:
    - U1.VDD C1.1 V18
    - U1.GND C1.2 C3.2 FB1.1 GND
    - FB1.2 J1.sleeve HPGND
    - U1.CPP C2.1
    - U1.CPN C2.2
    - U1.PVSS U1.HPVSS C3.1 VNEG
    - U1.HPL J1.tip
    - U1.HPR J1.ring
    - U1.SDA
    - U1.SCL
nets:
  GND: {role: ground}
  HPGND: {role: ground}
  V18: {role: supply, volts: 1.8 V}
  VNEG: {role: supply, volts: -1.8 V}
`,
    points: ['J1.tip', 'J1.ring'],
    clip: 'HPGND',
    fullScale: 1,
    gains: (off) => {
      // Against the sleeve: own side RL/(RL + Rs), the other −Rg/(RL + Rs + Rg) of it (shared return).
      const side = () => (32 / (32 + 0.5 * off(20))) * off(6);
      const crosstalk = -0.01 / (32 + 0.5 + 0.01);
      const [left, right] = [side(), side()];
      return [
        [left, right * crosstalk],
        [left * crosstalk, right],
      ];
    },
    stereo: true,
    predicted: true,
  },
  'headphones with a driven common': {
    text: `board: Capless headphones
complete: true
parts:
  U1: {pinout: capless}
  C1: 1 uF 10 V
  J1: {style: jack-trs, load: 32}
traces:
  buzzed:
    - U1.HPVDD C1.1 V33
    - U1.HPGND C1.2 GND
    - U1.HPL J1.tip
    - U1.HPR J1.ring
    - U1.HPCOM J1.sleeve
    - U1.SDA
    - U1.SCL
    - U1.NC
nets:
${v33}
`,
    points: ['J1.tip', 'J1.ring'],
    clip: 'GND',
    fullScale: 0.5,
    gains: (off) => {
      const side = () => ((32 * off(10)) / (32 + 0.5)) * off(3);
      return [
        [side(), 0],
        [0, side()],
      ];
    },
    stereo: true,
    predicted: true,
  },
  'inverting buffers on both sides': {
    text: `board: Mixer insert
complete: true
parts:
${converter}
  U2: {pinout: dual}
  C4: 100 nF 50 V
  C5: 100 nF 50 V
  R1: 10 k
  R2: 20 k
  R3: 10 k
  R4: 20 k
  R7: 100
  R8: 100
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
${converterJoins}
    - U1.AGND C1.2 C4.2 C5.2 R6.2 U2.3 U2.5 J1.sleeve GND
    - U2.V+ C4.1 +12V
    - U2.V- C5.1 -12V
    - C2.- R1.1
    - C3.- R3.1
    - R1.2 R2.1 U2.2
    - R3.2 R4.1 U2.6
    - R2.2 R7.1 U2.1
    - R4.2 R8.1 U2.7
    - R7.2 J1.tip OUT_L
    - R8.2 J1.ring OUT_R
nets:
${v33}
  +12V: {role: supply, volts: 12 V}
  -12V: {role: supply, volts: -12 V}
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
`,
    points: ['OUT_L', 'OUT_R'],
    clip: 'GND',
    fullScale: 0.8,
    gains: (off) => {
      const side = () => ((-20e3 * off(1)) / (10e3 * off(1) + 20)) * (10e3 / (10e3 + 100)) * off(6);
      return [
        [side(), 0],
        [0, side()],
      ];
    },
    stereo: true,
    predicted: true,
  },
  'gain stage on one supply, from a cell by a boost converter': {
    text: `board: Pocket guide
complete: true
parts:
${converter}
  U2: {pinout: dual}
  U3: {pinout: boost}
  U4: {pinout: reg33}
  BT1: {value: 3.7 V, chemistry: lithium-ion}
  F1: 1 A
  C4: 100 nF 50 V
  C6: 22 uF 10 V
  C7: 22 uF 10 V
  C8: 10 uF 10 V
  C9: 10 uF 10 V
  C10: 10 uF 10 V
  C11: 1 uF 10 V
  C12: 1 uF 10 V
  C13: 1 uF 10 V
  R1: 10 k
  R2: 10 k
  R3: 10 k
  R4: 10 k
  R7: 100 k
  R8: 100 k
  R9: 47 k
  R10: 47 k
  R11: 10 k
  R12: 10 k
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
${converterJoins.replace('C2.+', 'C2.-').replace('C3.+', 'C3.-')}
    - BT1.+ F1.1
    - F1.2 C11.1 U3.VIN VBAT
    - U3.VOUT C12.1 U4.VIN C4.1 U2.V+ R11.1 V5
    - U4.VOUT C13.1 V33
    - R11.2 R12.1 C8.1 R7.2 R8.2 VMID
    - C2.+ R7.1 U2.3
    - C3.+ R8.1 U2.5
    - U2.2 R1.1 R2.1
    - U2.6 R3.1 R4.1
    - R2.2 C9.+
    - R4.2 C10.+
    - U2.1 R1.2 C6.+
    - U2.7 R3.2 C7.+
    - C6.- R9.1 J1.tip
    - C7.- R10.1 J1.ring
    - U1.AGND C1.2 C4.2 C8.2 C9.- C10.- C11.2 C12.2 C13.2 R6.2 R9.2 R10.2 R12.2 GND
    - U2.V- U3.GND U4.GND BT1.- J1.sleeve GND
nets:
${v33}
  V5: {role: supply}
  VBAT: {role: supply, volts: [3.0 V, 4.2 V]}
`,
    points: ['J1.tip', 'J1.ring'],
    clip: 'GND',
    fullScale: 0.8,
    gains: (off) => {
      // The pin behind C2 sees 100 kΩ; then 1 + R1/R2.
      const side = () => (100e3 / (100e3 + 20)) * (1 + (10e3 * off(1)) / (10e3 * off(1))) * off(6);
      return [
        [side(), 0],
        [0, side()],
      ];
    },
    stereo: true,
    predicted: true,
  },
  'volume by a stereo potentiometer': {
    text: healthy['volume control']!,
    points: ['J1.tip', 'J1.ring'],
    clip: 'GND',
    fullScale: 0.8,
    // Wherever the wiper stands, here at a third; the tracks of a stereo potentiometer differ by as much as 3 dB.
    gains: (off) => [
      [0.33 * off(12), 0],
      [0, 0.33 * off(12)],
    ],
    stereo: true,
    predicted: false,
  },
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

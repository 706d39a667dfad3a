import { healthy } from './healthy';
import { beside, converter, converterJoins, type MeasuredBoard, v33 } from './measured-board';
import { measuredOthers } from './measured-others';

const measuredStereo: Readonly<Record<string, MeasuredBoard>> = {
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
};

/** Every recorded board, by name. */
export const measuredBoards: Readonly<Record<string, MeasuredBoard>> = { ...measuredStereo, ...measuredOthers };

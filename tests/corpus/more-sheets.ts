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

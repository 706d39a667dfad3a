/** Data sheets of invented parts that the boards of the corpus are built from, by pinout name. */
export const sheets: Readonly<Record<string, string>> = {
  dac: `pinout: dac
describes: Stereo converter, outputs at half supply
package: {style: sop-8, pins: 8}
markings: ["LQ31"]
pins:
  1: {name: AVDD, volts: [3.0 V, 3.6 V]}
  2: AGND
  3: {name: AOUTL, role: audio-out, channel: left, return: AGND, bias: 1.65 V, full-scale: 0.8 V, impedance: 20, min-load: 1 k}
  4: {name: AOUTR, role: audio-out, channel: right, return: AGND, bias: 1.65 V, full-scale: 0.8 V, impedance: 20, min-load: 1 k}
  5: XIN
  6: XOUT
  7: {name: nRESET}
  8: {name: MUTE, active: high}
modes:
  stereo: {AOUTL: {left: 1}, AOUTR: {right: 1}}
  differential: {AOUTL: {left: 0.5, right: 0.5}, AOUTR: {left: -0.5, right: -0.5}}
  mono: {AOUTL: {left: 0.5, right: 0.5}, AOUTR: {left: 0.5, right: 0.5}}
`,
  capless: `pinout: capless
describes: Headphone driver with a driven common
package: {style: sop-8, pins: 8}
pins:
  1: {name: HPVDD, volts: [3.0 V, 3.6 V]}
  2: HPGND
  3: {name: HPL, role: audio-out, channel: left, return: HPCOM, bias: 1.65 V, full-scale: 0.5 V, impedance: 0.5, min-load: 16}
  4: {name: HPR, role: audio-out, channel: right, return: HPCOM, bias: 1.65 V, full-scale: 0.5 V, impedance: 0.5, min-load: 16}
  5: {name: HPCOM, role: supply-out, bias: 1.65 V}
  6: SDA
  7: SCL
  8: NC
`,
  pumped: `pinout: pumped
describes: Ground-centred headphone driver with a charge pump
package: {style: sop-10, pins: 10}
pins:
  1: {name: VDD, volts: [1.7 V, 1.9 V]}
  2: GND
  3: {name: HPL, role: audio-out, channel: left, return: GND, bias: 0 V, full-scale: 1 V, impedance: 0.5, min-load: 16}
  4: {name: HPR, role: audio-out, channel: right, return: GND, bias: 0 V, full-scale: 1 V, impedance: 0.5, min-load: 16}
  5: {name: CPP, note: flying capacitor}
  6: {name: CPN, note: flying capacitor}
  7: PVSS
  8: {name: HPVSS, volts: [-1.9 V, -1.7 V]}
  9: SDA
  10: SCL
`,
  bridge: `pinout: bridge
describes: Mono bridge amplifier
package: {style: sop-8, pins: 8}
pins:
  1: {name: SHDN, active: low}
  2: {name: BYPASS}
  3: {name: INP}
  4: {name: INN}
  5: {name: VO+, role: audio-out, return: VO-, bias: 2.5 V, min-load: 4}
  6: {name: VDD, volts: [2.7 V, 5.5 V]}
  7: GND
  8: {name: VO-, role: audio-out, return: VO+, bias: 2.5 V, min-load: 4}
sections:
  P: {kind: amplifier, plus: 3, minus: 4, out: [5, 8], gain: 12 dB}
`,
  dual: `pinout: dual
describes: Dual operational amplifier
package: {style: sop-8, pins: 8}
pins:
  1: {name: OUTA}
  2: {name: INA-, role: audio-in}
  3: {name: INA+, role: audio-in}
  4: {name: V-, volts: [-18 V, -4 V]}
  5: {name: INB+, role: audio-in}
  6: {name: INB-, role: audio-in}
  7: {name: OUTB}
  8: {name: V+, volts: [4 V, 18 V]}
sections:
  A: {kind: op-amp, plus: 3, minus: 2, out: 1}
  B: {kind: op-amp, plus: 5, minus: 6, out: 7}
`,
  driver: `pinout: driver
describes: Balanced line driver
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
`,
  reg33: `pinout: reg33
describes: 3.3 V regulator
package: {style: sot-23-3, pins: 3}
pins:
  1: GND
  2: {name: VOUT, volts: 3.3 V}
  3: {name: VIN, volts: [3.5 V, 16 V]}
sections:
  R: {kind: regulator, in: 3, out: 2, volts: 3.3 V}
`,
};

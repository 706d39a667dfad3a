/** Whole, healthy boards, everything on them listed: none may give a finding, nor may any half of one. By name. */
export const healthy: Readonly<Record<string, string>> = {
  'single-ended': `board: Line output of a wall panel
complete: true
parts:
  U1: {pinout: dac, mode: stereo}
  C1: 100 nF 16 V
  C2: 22 uF 6.3 V
  C3: 22 uF 6.3 V
  R1: 100
  R2: 100
  R3: 47 k
  R4: 47 k
  R5: 10 k
  R6: 10 k
  Y1: {value: 12 MHz, load: 10 pF}
  C4: 15 pF 50 V
  C5: 15 pF 50 V
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
    - U1.AVDD C1.1 R5.1 V33
    - U1.AGND C1.2 R3.2 R4.2 R6.2 C4.2 C5.2 J1.sleeve GND
    - U1.AOUTL C2.+
    - U1.AOUTR C3.+
    - C2.- R1.1
    - C3.- R2.1
    - R1.2 R3.1 J1.tip OUT_L
    - R2.2 R4.1 J1.ring OUT_R
    - U1.nRESET R5.2
    - U1.MUTE R6.1
  seen:
    - U1.XIN Y1.1 C4.1
    - U1.XOUT Y1.2 C5.1
nets:
  GND: {role: ground}
  V33: {role: supply, volts: 3.3 V}
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
`,
  'capless headphones': `board: Headphone output with a driven sleeve
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
  GND: {role: ground}
  V33: {role: supply, volts: 3.3 V}
`,
  'ground-centred': `board: Headphone output about ground, with its charge pump
complete: true
parts:
  U1: {pinout: pumped}
  C1: 1 uF 6.3 V
  C2: 1 uF 6.3 V
  C3: 1 uF 6.3 V
  J1: {style: jack-trs, load: 32}
traces:
  buzzed:
    - U1.VDD C1.1 V18
    - U1.GND C1.2 C3.2 J1.sleeve GND
    - U1.CPP C2.1
    - U1.CPN C2.2
    - U1.PVSS U1.HPVSS C3.1 VNEG
    - U1.HPL J1.tip
    - U1.HPR J1.ring
    - U1.SDA
    - U1.SCL
nets:
  GND: {role: ground}
  V18: {role: supply, volts: 1.8 V}
  VNEG: {role: supply, volts: -1.8 V}
`,
  'bridge into a loudspeaker': `board: Announcement loudspeaker
complete: true
parts:
  U1: {pinout: bridge}
  C1: 10 uF 10 V
  C2: 1 uF 10 V
  C3: 1 uF 10 V
  R1: 20 k
  R2: 20 k
  LS1: 8
  J1: {style: rca}
traces:
  buzzed:
    - U1.VDD C1.1 R1.1 V5
    - U1.GND C1.2 C2.2 J1.shell GND
    - U1.BYPASS U1.INP C2.1
    - U1.INN R2.2
    - C3.2 R2.1
    - J1.centre C3.1
    - U1.SHDN R1.2
    - U1.VO+ LS1.+
    - U1.VO- LS1.-
nets:
  GND: {role: ground}
  V5: {role: supply, volts: 5 V}
`,
  'balanced output': `board: Balanced line output
complete: true
parts:
  U1: {pinout: driver}
  C1: 100 nF 50 V
  C2: 100 nF 50 V
  R1: 100 k
  J1: {style: xlr-3, load: 10 k}
  J2: {style: rca}
traces:
  buzzed:
    - U1.V+ C1.1 +15V
    - U1.V- C2.1 -15V
    - U1.GND C1.2 C2.2 R1.2 J1.1 J2.shell GND
    - U1.IN R1.1 J2.centre
    - U1.OUT+ J1.2
    - U1.OUT- J1.3
    - J1.shell CASE
    - U1.5
    - U1.7
nets:
  GND: {role: ground}
  CASE: {role: chassis}
  +15V: {role: supply, volts: 15 V}
  -15V: {role: supply, volts: -15 V}
`,
  'balanced jack': `board: Balanced line output on a jack
complete: true
parts:
  U1: {pinout: driver}
  C1: 100 nF 50 V
  C2: 100 nF 50 V
  J1: {style: jack-trs, wiring: balanced, load: 10 k}
traces:
  buzzed:
    - U1.V+ C1.1 +15V
    - U1.V- C2.1 -15V
    - U1.GND U1.IN C1.2 C2.2 J1.sleeve GND
    - U1.OUT+ J1.tip
    - U1.OUT- J1.ring
    - U1.5
    - U1.7
nets:
  GND: {role: ground}
  +15V: {role: supply, volts: 15 V}
  -15V: {role: supply, volts: -15 V}
`,
  'mono by design': `board: Door station, one output to both ears
complete: true
parts:
  U1: {pinout: dac, mode: mono}
  C1: 100 nF 16 V
  C2: 22 uF 6.3 V
  R3: 47 k
  R5: 10 k
  R6: 10 k
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
    - U1.AVDD C1.1 R5.1 V33
    - U1.AGND C1.2 R3.2 R6.2 J1.sleeve GND
    - U1.AOUTL C2.+
    - U1.AOUTR
    - C2.- R3.1 J1.tip J1.ring
    - U1.nRESET R5.2
    - U1.MUTE R6.1
    - U1.XIN
    - U1.XOUT
nets:
  GND: {role: ground}
  V33: {role: supply, volts: 3.3 V}
`,
  'op-amp on two supplies': `board: Two-channel buffer on ±12 V
complete: true
parts:
  U1: {pinout: dual}
  C1: 100 nF 50 V
  C2: 100 nF 50 V
  R1: 10 k
  R2: 20 k
  R3: 10 k
  R4: 20 k
  R5: 47 k
  R6: 47 k
  R7: 100
  R8: 100
  J1: {style: jack-trs}
  J2: {style: jack-trs, load: 10 k}
traces:
  buzzed:
    - U1.V+ C1.1 +12V
    - U1.V- C2.1 -12V
    - U1.3 R5.1 J1.tip
    - U1.5 R6.1 J1.ring
    - U1.2 R1.1 R2.1
    - U1.6 R3.1 R4.1
    - U1.1 R2.2 R7.1
    - U1.7 R4.2 R8.1
    - R7.2 J2.tip OUT_L
    - R8.2 J2.ring OUT_R
    - C1.2 C2.2 R1.2 R3.2 R5.2 R6.2 J1.sleeve J2.sleeve GND
nets:
  GND: {role: ground}
  +12V: {role: supply, volts: 12 V}
  -12V: {role: supply, volts: -12 V}
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
`,
  'unfitted parts': `board: Output with pads for a filter that was never fitted
complete: true
parts:
  U1: {pinout: dac}
  C1: 100 nF 16 V
  C2: 22 uF 6.3 V
  C3: 22 uF 6.3 V
  C8: not-fitted
  C9: ~
  R1: 0
  R2: 0
  R3: 47 k
  R4: 47 k
  R5: 10 k
  R6: 10 k
  R9: not-fitted
  J1: {style: jack-trs, load: 10 k}
traces:
  buzzed:
    - U1.AVDD C1.1 R5.1 R9.1 V33
    - U1.AGND C1.2 R3.2 R4.2 R6.2 C8.2 C9.2 R9.2 J1.sleeve GND
    - U1.AOUTL C2.+
    - U1.AOUTR C3.+
    - C2.- R1.1
    - C3.- R2.1
    - R1.2 R3.1 C8.1 J1.tip
    - R2.2 R4.1 C9.1 J1.ring
    - U1.nRESET R5.2
    - U1.MUTE R6.1
    - U1.XIN
    - U1.XOUT
nets:
  GND: {role: ground}
  V33: {role: supply, volts: 3.3 V}
`,
  'headset on four poles': `board: Headset socket with microphone
complete: true
parts:
  U1: {pinout: pumped}
  U2: {pins: {1: {name: MICBIAS, bias: 2 V}, 2: {name: MICP, role: audio-in}}}
  C1: 1 uF 6.3 V
  C2: 1 uF 6.3 V
  C3: 1 uF 6.3 V
  C4: 1 uF 6.3 V
  R1: 2k2
  J1: {style: jack-trrs, wiring: mic-on-sleeve, load: 32}
traces:
  buzzed:
    - U1.VDD C1.1 V18
    - U1.GND C1.2 C3.2 J1.ring2 GND
    - U1.CPP C2.1
    - U1.CPN C2.2
    - U1.PVSS U1.HPVSS C3.1 VNEG
    - U1.HPL J1.tip
    - U1.HPR J1.ring1
    - U1.SDA
    - U1.SCL
    - U2.MICBIAS R1.1
    - R1.2 C4.1 J1.sleeve
    - C4.2 U2.MICP
nets:
  GND: {role: ground}
  V18: {role: supply, volts: 1.8 V}
  VNEG: {role: supply, volts: -1.8 V}
`,
  'volume control': `board: Output with a stereo potentiometer
complete: true
parts:
  U1: {pinout: dac}
  C1: 100 nF 16 V
  C2: 10 uF 6.3 V
  C3: 10 uF 6.3 V
  R5: 10 k
  R6: 10 k
  RV1: 10 k
  J1: {style: jack-trs, load: 47 k}
traces:
  buzzed:
    - U1.AVDD C1.1 R5.1 V33
    - U1.AGND C1.2 R6.2 RV1.1 RV1.4 J1.sleeve GND
    - U1.AOUTL C2.+
    - U1.AOUTR C3.+
    - C2.- RV1.3
    - C3.- RV1.6
    - RV1.2 J1.tip
    - RV1.5 J1.ring
    - U1.nRESET R5.2
    - U1.MUTE R6.1
    - U1.XIN
    - U1.XOUT
nets:
  GND: {role: ground}
  V33: {role: supply, volts: 3.3 V}
`,
};

/** Texts that tests read and mutate. The first two are the examples of the dialect's contract. */

export const board = `board: Lantern Hall audio guide, handset main board
complaint: Narration turns hollow and nearly vanishes on the mono hearing-loop lead.
cautions: [lithium-cell]

parts:
  U1: {pinout: fw2210, marking: "FW2210-C 2419", mode: stereo}   # found among *.pinout.yaml
  Y1: 12 MHz                                       # short form: the designator's letters say what it is
  C7: 22 uF 6.3 V                                  # further quantities are rating and tolerance
  C8: 22 uF 6.3 V
  R4: 470
  R5: 470
  R6: {code: "102"}                                # as printed on the part
  R7: {code: 102}
  C12: not-fitted
  J2: {style: jack-trs, load: 10 k}                # what gets plugged in, from each contact to its return
  BT1: {value: 3.7 V, chemistry: lithium-ion}

traces:                                            # copper, grouped by how we know it
  buzzed:                                          # the meter beeped
    - [U1.14, C7.+]
    - U1.13 C8.+                                   # one line, points split by spaces or commas: the same thing
    - C7.- R4.1
    - C8.- R5.1
    - U1.2 J2.sleeve GND
  seen:                                            # followed by eye
    - R4.2 R6.1 J2.tip OUT_L
    - R5.2 R7.1 J2.ring OUT_R
    - U1.16                                        # one point: looked for, reaches nothing
  assumed:                                         # a guess, still to be proven
    - R6.2 R7.2 GND
    - U1.7 VSYS
  apart:                                           # no beep between these
    - VSYS GND

nets:
  GND:   {role: ground}
  VSYS:  {role: supply, volts: 3.3 V}
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}

readings:                                          # one number off a meter
  - VSYS: 3.28 V                                   # short form; the unit names the kind, volts are DC
  - U1.2 J2.sleeve: 0.3 ohm

captures:                                          # a recording, its channels on points
  tone-left:
    file: captures/tone-left.wav
    stimulus: {tone: 997 Hz, side: left, level: -12 dBFS}
    channels: {1: OUT_L, 2: OUT_R}
    ground-lead: GND
    full-scale: 1.42 V                             # volts, peak, at digital full scale

expect:
  - stereo: {left: OUT_L, right: OUT_R, separation: 40 dB}
  - supply: {at: VSYS, between: [3.2 V, 3.4 V], ripple: 20 mV}
`;

export const pinout = `pinout: fw2210
describes: Stereo playback chip with lithium-ion charger
source: {document: FW2210 data sheet, revision: "1.3", page: 6}
package: {style: sop-16, pins: 16}                 # or the style alone
markings: ["FW2210-?*"]                            # ? and *, case ignored
pins:
  1: {name: VBAT, volts: [3.0 V, 4.3 V]}           # role follows from the name: supply
  2: VSS                                           # scalar: the name alone; role ground
  7: {name: VDDIO, volts: [3.0 V, 3.6 V]}
  9: {name: XIN, frequency: 12 MHz}
  10: XOUT
  13: {name: DACR, role: audio-out, channel: right, return: 2, bias: 1.65 V, full-scale: 0.9 V, impedance: 20, min-load: 1 k}
  14: {name: DACL, role: audio-out, channel: left,  return: 2, bias: 1.65 V, full-scale: 0.9 V, impedance: 20, min-load: 1 k}
modes:                                             # what each output carries, as weights of the left and right programme; the first is the data sheet's default
  stereo:       {DACL: {left: 1},                  DACR: {right: 1}}
  differential: {DACL: {left: 0.5, right: 0.5},    DACR: {left: -0.5, right: -0.5}}
  mono:         {DACL: {left: 0.5, right: 0.5},    DACR: {left: 0.5, right: 0.5}}
`;

/** The rest of the keys a board has, to follow the first. */
export const more = `complete: no
pinouts: [sheets/*.pinout.yaml, "my sheets/fw2210.pinout.yaml"]
reworks:
  - name: bleeders-fitted
    date: 2031-05-04
    did: |
      Fitted two bleeders.
      Cleaned the jack: no more crackle.
    parts: {R12: 47 k, R13: 47 k, C12: ~}
    traces:
      buzzed: [R12.1 OUT_L, [R13.1, OUT_R]]
    cuts:
      - U1.13 C8.+
accepted:
  - {check: return-shared, at: [OUT_L], because: "the cable is a hand long"}
limits: {coupling-corner-high: 20 Hz, return-shared: -50 dB}
verdict:
  cause: output-mode
  note: >
    The chip drives one bridge;
    it was never meant for a mono lead.
`;

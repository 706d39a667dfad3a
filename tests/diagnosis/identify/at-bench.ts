import { Board } from '../../../server/src/board/board';
import { buildPinout, type Pinout } from '../../../server/src/board/pinout';
import { parseBoard, parsePinout } from '../../../server/src/dialect/parse';

/** A pinout from its text. */
export function sheet(text: string): Pinout {
  const pinout = buildPinout(parsePinout(text).value, `${/^pinout: (\S+)/m.exec(text)![1]}.pinout.yaml`);
  if (!pinout) throw new Error('the pinout has no name');
  return pinout;
}

/** A board from its text, with pinouts in reach. */
export const board = (text: string, ...pinouts: Pinout[]): Board =>
  new Board('test.board.yaml', parseBoard(text).value, new Map(pinouts.map((one) => [one.name, one])));

/** A sixteen-pin chip, its pins in order. */
export const fw2210 = sheet(`pinout: fw2210
package: {style: sop-16, pins: 16}
markings: ["FW2210*"]
pins:
  1: {name: VBAT, volts: [3.0 V, 4.3 V]}
  2: VSS
  3: VREG
  4: nRESET
  5: SDA
  6: SCL
  7: {name: VDDIO, volts: [3.0 V, 3.6 V]}
  8: TEST
  9: {name: XIN, frequency: 12 MHz}
  10: XOUT
  11: VMID
  12: AGND
  13: {name: DACR, role: audio-out, channel: right, bias: 1.65 V}
  14: {name: DACL, role: audio-out, channel: left, bias: 1.65 V}
  15: MUTE
  16: NC
`);

/** Its sibling: crystal and bus exchanged. */
export const fw2211 = sheet(`pinout: fw2211
package: {style: sop-16, pins: 16}
markings: ["FW2211*"]
pins: {1: {name: VBAT, volts: [3.0 V, 4.3 V]}, 2: VSS, 3: VREG, 4: nRESET, 5: {name: XIN, frequency: 12 MHz}, 6: XOUT,
  7: {name: VDDIO, volts: [3.0 V, 3.6 V]}, 8: TEST, 9: SDA, 10: SCL, 11: VMID, 12: AGND,
  13: {name: DACR, role: audio-out, channel: right, bias: 1.65 V},
  14: {name: DACL, role: audio-out, channel: left, bias: 1.65 V}, 15: MUTE, 16: NC}
`);

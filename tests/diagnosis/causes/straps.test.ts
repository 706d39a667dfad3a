import { expect, test } from 'vitest';
import { strapsOf } from '../../../server/src/diagnosis/causes/straps';
import { boardOf } from './bench';

const pinout = `pinout: two-way
pins:
  1: GND
  2: {name: MODE, role: control, note: "low: stereo; high: differential"}
  3: {name: MUTE, role: control}
  4: VDD
`;
const straps = (joins: string) => {
  const copper = boardOf(
    `board: Straps\nparts: {U1: {pinout: two-way}, R7: 10 k, C1: 100 nF}\ntraces: {buzzed: [U1.4 VDD, U1.1 GND, U1.3 GND, ${joins}]}\nnets: {VDD: {role: supply, volts: 3.3 V}, GND: {role: ground}}\n`,
    pinout,
  ).at();
  return strapsOf(copper.parts.get('U1')!, copper);
};

test.each([
  ['U1.2 GND', ['U1.MODE is tied to GND (low: stereo; high: differential)']],
  ['U1.2 R7.1, R7.2 VDD', ['U1.MODE is tied by R7 to VDD (low: stereo; high: differential)']],
  // A capacitor ties nothing, and of a pin that nobody has followed nothing is said.
  ['U1.2 C1.1, C1.2 VDD', []],
  ['R7.1 VDD', []],
])('%s', (joins, said) => expect(straps(joins)).toEqual(said));

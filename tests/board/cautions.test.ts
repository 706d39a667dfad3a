import { expect, test } from 'vitest';
import { Board } from '../../server/src/board/board';
import { cautionsOf } from '../../server/src/board/cautions';
import { parseBoard } from '../../server/src/dialect/parse';

const named = (text: string) =>
  cautionsOf(new Board('b', parseBoard(text).value, new Map())).map(({ name, from }) => `${name}: ${from ?? 'stated'}`);

test('what is stated, and what cells, nets, capacitors and bridges call for', () => {
  expect(
    named(`board: b
cautions: [laser]
parts:
  BT1: {value: 3.7 V, chemistry: lithium-ion}
  C1: {value: 100 uF, rating: 400 V, polarised: yes}
  U1: {pins: {1: {name: SPKP, return: 2}, 2: {name: SPKN, return: 1}}}
traces: {buzzed: [U1.1 A, U1.2 B]}
nets:
  LINE: {role: mains}
  BUS: {role: supply, volts: 325 V}
`),
  ).toEqual([
    'laser: stated',
    'lithium-cell: cell BT1',
    'stored-charge: C1, rated 400 V',
    'mains: net LINE',
    'high-voltage: net BUS',
    'loud-output: bridge output U1.1',
  ]);
});

test('a small board on three volts needs none, and what is stated is not said twice', () => {
  expect(named('board: b\nparts: {C1: 22 uF 6.3 V}\nnets: {VDD: {role: supply, volts: 3.3 V}}\n')).toEqual([]);
  expect(named('board: b\ncautions: [lithium-cell]\nparts: {BT1: {chemistry: lithium-ion}}\n')).toEqual([
    'lithium-cell: stated',
  ]);
});

test('parts that lie on the mains say so without a mains net', () => {
  expect(named('board: b\nparts: {C1: {value: 100 nF, rating: 275 V AC}}\n')).toEqual(['mains: C1, rated 275 V AC']);
  expect(named('board: b\nparts: {VDR1: {kind: varistor, value: 275 V}}\n')).toEqual(['mains: varistor VDR1']);
  expect(named('board: b\nparts: {U1: {pins: {1: {name: L, role: mains}}}}\ntraces: {buzzed: [U1.1 A]}\n')).toEqual([
    'mains: pin U1.1',
  ]);
  expect(
    named(
      'board: b\nparts: {T1: , BR1: }\ntraces: {buzzed: [T1.3 BR1.ac1, T1.4 BR1.ac2, BR1.- GND]}\nnets: {GND: {role: ground}}\n',
    ),
  ).toEqual(['mains: transformer T1, which feeds BR1']);
  // An audio transformer, a low-voltage clamp, a film capacitor of 100 V DC and a fuse do not.
  expect(
    named(
      'board: b\nparts: {T1: , R1: 600, VDR1: {kind: varistor, value: 18 V}, C1: 1 uF 100 V, F1: 1 A 250 V}\ntraces: {buzzed: [T1.3 R1.1]}\n',
    ),
  ).toEqual([]);
});

test('capacitors at volts that hurt say so without a rating, where they hold enough charge', () => {
  const board = (value: string) =>
    `board: b\nparts: {C1: ${value}}\nnets: {GND: {role: ground}, BUS: {role: supply, volts: 320 V}}\ntraces: {buzzed: [C1.1 BUS, C1.2 GND]}\n`;
  expect(named(board('100 uF'))).toEqual(['high-voltage: net BUS', 'stored-charge: C1, at 320 V']);
  expect(named(board(''))).toEqual(['high-voltage: net BUS', 'stored-charge: C1, at 320 V']);
  // 10 nF · 320 V = 3.2 µC, below the 45 µC of IEC 61010-1.
  expect(named(board('10 nF'))).toEqual(['high-voltage: net BUS']);
  expect(
    named(
      'board: b\nparts: {C1: 47 uF}\ntraces: {buzzed: [C1.1 HT, C1.2 GND]}\nnets: {GND: {role: ground}}\nreadings: [HT: 245 V]\n',
    ),
  ).toEqual(['high-voltage: reading HT 245 V', 'stored-charge: C1, at 245 V']);
});

test('a rectifier on the mains makes the common live; behind a transformer it does not', () => {
  const board = (parts: string, joins: string) =>
    `board: b\nparts: {${parts}}\nnets: {L: {role: mains}, N: {role: mains}, GND: {role: ground}}\ntraces: {buzzed: [${joins}, BR1.- GND]}\n`;
  expect(named(board('F1: 1 A, BR1: ', 'L F1.1, F1.2 BR1.ac1, N BR1.ac2'))).toEqual([
    'mains: net L',
    'hot-chassis: BR1, on the mains with no transformer between',
  ]);
  expect(named(board('T1: , BR1: ', 'L T1.1, N T1.2, T1.3 BR1.ac1, T1.4 BR1.ac2'))).toEqual([
    'mains: transformer T1, which feeds BR1',
  ]);
});

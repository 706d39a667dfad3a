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

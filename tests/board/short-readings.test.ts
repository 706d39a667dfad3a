import { expect, test } from 'vitest';
import { Board } from '../../server/src/board/board';
import { parseBoard } from '../../server/src/dialect/parse';

/** How resistors are written on drawings (IEC 60062); a meter's volts are written with their unit. */
test.each([
  ['10 k', 'ohms', 1e4],
  ['4k7', 'ohms', 4700],
  ['2M2', 'ohms', 2.2e6],
  ['9.8 kohm', 'ohms', 9800],
  ['1.2 kV', 'dc', 1200],
  ['3V3', 'dc', 3.3],
  ['12 mV', 'dc', 0.012],
])('a short reading of %s is %s', (text, kind, value) => {
  const parsed = parseBoard(`board: Bench\nreadings:\n  - R1.1 R1.2: ${text}\n`);
  const [reading] = new Board('a.board.yaml', parsed.value, new Map()).readings;
  expect(reading).toMatchObject({ kind });
  expect(reading!.value).toBeCloseTo(value, 9);
});

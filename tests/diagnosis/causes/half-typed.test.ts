import { expect, test } from 'vitest';
import { Board } from '../../../server/src/board/board';
import { buildPinout } from '../../../server/src/board/pinout';
import { diagnose } from '../../../server/src/diagnosis/causes/diagnose';
import { parseBoard, parsePinout } from '../../../server/src/dialect/parse';
import type { RecordingFigures } from '../../../server/src/signal/figures';
import { board, pinout } from '../../dialect/texts';
import { channel } from './generator/simulate';

/**
 * The figures of the contract’s one recording: 0.9 V·√2 at −12 dBFS over 20 Ω + 470 Ω into 1 k ∥ 10 k is 0.208 V peak (Ohm’s law),
 * and it arrives on the left alone.
 */
const figures = new Map([
  [
    'tone-left',
    {
      channels: [channel('1', 997, { re: 0.2, im: 0.057 }), channel('2', 997, { re: 0.0001, im: 0 })],
      pairs: [],
      sequence: null,
    } as unknown as RecordingFigures,
  ],
]);

test('the contract’s board, cut off anywhere, is diagnosed without a fall', () => {
  const stage = buildPinout(parsePinout(pinout).value, 'fw2210.pinout.yaml')!;
  for (let end = 0; end <= board.length; end += 23) {
    const made = new Board('a.board.yaml', parseBoard(board.slice(0, end)).value, new Map([['fw2210', stage]]));
    const { causes } = diagnose({ board: made, figures });
    expect(causes.reduce((sum, { probability }) => sum + probability, 0)).toBeLessThanOrEqual(1 + 1e-9);
    for (const { probability } of causes) expect(Number.isFinite(probability)).toBe(true);
  }
});

test('whole, it is as designed, says what it rests on, and proposes what to measure', () => {
  const stage = buildPinout(parsePinout(pinout).value, 'fw2210.pinout.yaml')!;
  const made = new Board('a.board.yaml', parseBoard(board).value, new Map([['fw2210', stage]]));
  const { causes, notes, next } = diagnose({ board: made, figures });
  expect(causes[0]!.cause).toBe('as-designed');
  expect(notes.join(' ')).toContain('only assumed: R6.2 R7.2 GND');
  expect(next.length).toBeGreaterThan(0);
});

import { describe, expect, test } from 'vitest';
import type { BoardAnalysis, PinoutAnalysis } from '../../server/src/editor/analysis';
import { highlights, references } from '../../server/src/editor/references';
import { board, pinout } from '../dialect/texts';
import { analysePinout, bench, uriOf } from '../harness/memory';
import { atBoard, covered, cursor } from './at';

/** Lines on which the thing at the cursor is named, each with what is marked. */
async function named(text: string): Promise<string[]> {
  const { analysis, offset } = await atBoard(text);
  return highlights(analysis, offset).map(
    ({ span, kind }) => `${analysis.lines.position(span.start).line} ${covered(analysis.text, span)} ${kind}`,
  );
}

const small = `board: x
parts: {U1: fw2210, R4: 470}
traces:
  buzzed:
    - U1.14 R4.1
    - U1.DACL R4.2 OUT
readings:
  - U1.14 OUT: 1 V
`;

test('of a point the part before the dot is meant, the pin behind it, by any of its names', async () => {
  expect(await named(cursor(small, 'U1.14'))).toEqual(['1 U1 write', '4 U1 read', '5 U1 read', '7 U1 read']);
  expect(await named(cursor(small, 'U1.14', 4))).toEqual(['4 14 read', '5 DACL read', '7 14 read']);
  expect(await named(cursor(small, 'OUT'))).toEqual(['5 OUT read', '7 OUT read']);
});

test('nets, states, captures, and words that are no names', async () => {
  expect(await named(cursor(board, 'VSYS:  {'))).toHaveLength(board.match(/VSYS/g)!.length);
  expect(await named('reworks: [{name: cap$0ped}]\nreadings: [{at: A, dc: 1 V, state: capped}]')).toEqual([
    '0 capped write',
    '1 capped read',
  ]);
  expect(await named(cursor(board, 'complaint'))).toEqual([]);
});

describe('across files', () => {
  test('a pin of a pinout is named in it and on the boards', async () => {
    const { workspace } = bench({ 'a.board.yaml': small, 'fw2210.pinout.yaml': pinout });
    const sheet = (await workspace.settled(uriOf('fw2210.pinout.yaml'))) as PinoutAnalysis;
    const one = (await workspace.settled(uriOf('a.board.yaml'))) as BoardAnalysis;
    const found = references(sheet, pinout.indexOf('DACL, role') + 1, [one]).map((place) =>
      place.file === one.uri ? `board ${covered(small, place.span)}` : `pinout ${covered(pinout, place.span)}`,
    );
    expect(found).toEqual(['pinout 14', ...Array(4).fill('pinout DACL'), 'board 14', 'board DACL', 'board 14']);
  });

  test('without the declaration', async () => {
    const { analysis, offset } = await atBoard(cursor(small, 'R4: 470'));
    expect(references(analysis, offset, [], false)).toHaveLength(2);
    expect(references(analysis, offset)).toHaveLength(3);
  });

  test('a pinout by its name', async () => {
    const sheet = await analysePinout(pinout);
    const offset = sheet.text.indexOf('fw2210') + 1;
    expect(references(sheet, offset)).toHaveLength(1);
  });
});

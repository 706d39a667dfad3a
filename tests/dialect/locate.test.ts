import fc from 'fast-check';
import { expect, test } from 'vitest';
import { boardFile } from '../../server/src/dialect/board-file';
import { locate } from '../../server/src/dialect/locate';
import { parseTree } from '../../server/src/dialect/tree';
import { anyText } from './any-text';
import { marked } from './marker';
import { board } from './texts';

function at(text: string) {
  const { text: plain, offset } = marked(text);
  const { path, on, type, word, steps } = locate(boardFile, parseTree(plain).root, plain, offset);
  return { path: path.join('/'), on, type: type?.kind, word: word?.text, doc: steps.at(-1)?.key?.doc };
}

/** The contract's board with the cursor put where a text first stands, `by` characters in. */
const inBoard = (text: string, by = 1) => at(board.replace(text, `${text.slice(0, by)}$0${text.slice(by)}`));

test.each([
  ['complaint', { path: 'complaint', on: 'key', doc: 'What the owner says is wrong.' }],
  ['lithium-cell', { path: 'cautions/0', on: 'value', type: 'choice', word: 'lithium-cell' }],
  ['U1: {', { path: 'parts/U1', on: 'key', word: 'U1', type: 'either' }],
  ['marking:', { path: 'parts/U1/marking', on: 'key', type: 'text' }],
  ['U1.14,', { path: 'traces/buzzed/0/0', on: 'value', type: 'words', word: 'U1.14' }],
  ['C8.+', { path: 'traces/buzzed/1', on: 'value', type: 'words', word: 'C8.+' }],
  ['VSYS: 3.28', { path: 'readings/0/VSYS', on: 'key', word: 'VSYS', type: 'quantity' }],
  ['J2.sleeve: 0.3', { path: 'readings/1/U1.2 J2.sleeve', on: 'key', word: 'J2.sleeve' }],
  ['side: left', { path: 'captures/tone-left/stimulus/side', on: 'key', type: 'choice' }],
  ['OUT_L, 2', { path: 'captures/tone-left/channels/1', on: 'value', word: 'OUT_L' }],
])('on %j', (text, found) => {
  expect(inBoard(text)).toMatchObject(found);
});

test('between things', () => {
  expect(at('board: x\n$0\nnets:\n  GND: {}\n')).toMatchObject({ path: '', on: 'blank' });
  expect(at('nets:\n  GND: { $0 }\n')).toMatchObject({ path: 'nets/GND', on: 'blank' });
  expect(at('# $0')).toMatchObject({ path: '', on: 'blank', type: 'record' });
});

test('right behind a word the cursor is still on it', () => {
  expect(at('traces:\n  seen:\n    - U1.14$0 C7.+\n')).toMatchObject({ word: 'U1.14' });
  expect(at('traces:\n  seen:\n    - "U1.14 C7$0.+"\n')).toMatchObject({ word: 'C7.+' });
});

test('any offset of any text is answered, with places that hold it', () => {
  fc.assert(
    fc.property(anyText, fc.double({ min: 0, max: 1, noNaN: true }), (text, part) => {
      const offset = Math.floor(part * text.length);
      const { word, on, steps } = locate(boardFile, parseTree(text).root, text, offset);
      if (word) expect(word.span.start <= offset && offset <= word.span.end).toBe(true);
      if (on === 'key') expect(steps.at(-1)!.span.start <= offset && offset <= steps.at(-1)!.span.end).toBe(true);
    }),
    { numRuns: 1000, seed: 24 },
  );
});

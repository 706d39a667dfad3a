import { expect, test } from 'vitest';
import { boardFile } from '../../server/src/dialect/board-file';
import { contextAt } from '../../server/src/dialect/context';
import { parseBoard } from '../../server/src/dialect/parse';
import { PieceCache } from '../../server/src/dialect/split';
import { parseTree } from '../../server/src/dialect/tree';
import { work } from '../harness/work';

/** How much more work one thing is than another, once both have been done. */
function ratio(large: () => unknown, small: () => unknown): number {
  for (const run of [large, small]) run();
  return work(large) / work(small);
}

/** Work that grows with the text is eight times as much for eight times the text; with its square, sixty-four times. */
const proportional = 10;

const times = (count: number, entry: (i: number) => string) =>
  Array.from({ length: count }, (_, i) => entry(i)).join('');

/** Texts that grow: what a board is made of, and what would make a careless reader look back or ahead again and again. */
const texts: [name: string, size: number, make: (count: number) => string][] = [
  ['parts', 400, (n) => `board: x\nparts:\n${times(n, (i) => `  R${i}: {value: 470, note: "one of ${i}"}\n`)}`],
  ['joins', 600, (n) => `board: x\ntraces:\n  buzzed:\n${times(n, (i) => `    - U1.${i} C${i}.+\n`)}`],
  ['one long join', 1500, (n) => `board: x\ntraces: {buzzed: [[${times(n, (i) => `U1.${i}, `)}A]]}\n`],
  ['unknown keys', 300, (n) => `board: x\n${times(n, (i) => `kye${i}: y\n`)}`],
  ['one name over and over', 500, (n) => `board: x\nparts:\n${times(n, () => '  R1: 470\n')}`],
  ['misread texts', 400, (n) => `board: x\nparts:\n${times(n, (i) => `  U${i}: {note: a: b, marking: "x" y}\n`)}`],
  ['open quotes on one line', 1500, (n) => `board: [${times(n, () => '"a \'b, ')}]\n`],
  ['open brackets', 300, (n) => `board: x\nparts:\n${times(n, (i) => `  U${i}: {note: [a\n`)}`],
  ['hashes on one line', 1500, (n) => `board: {${times(n, () => 'a #b ')}}\n`],
  ['brackets in text', 1500, (n) => `board: {a: x${times(n, () => ' [')}, b: y}\n`],
  ['bare lines', 400, (n) => `board: x\nparts:\n${times(n, (i) => `  U${i}\n`)}`],
  ['comments', 1500, (n) => `board: x\nparts:\n${times(n, () => '  # a\n')}  R1: 470\n`],
  ['words with stars', 1500, (n) => `board: x\ncomplaint: a ${times(n, (i) => `*a${i} &a${i} `)}\n`],
  ['commas in braces', 800, (n) => `board: x\nparts: {R1: {note: a${times(n, () => ', b')}}}\n`],
];

test.each(texts)('reading %s is work in proportion', (name, size, make) => {
  const [small, large] = [make(size), make(size * 8)];
  const found = ratio(
    () => parseBoard(large),
    () => parseBoard(small),
  );
  console.log(`${name}: 8 × the text, ${found.toFixed(1)} × the work`);
  expect(found).toBeLessThan(proportional);
});

test('what may be written somewhere is found in proportion', () => {
  const make = texts[0]![2];
  const [small, large] = [make(400), make(3200)];
  const at = (text: string) => () => contextAt(boardFile, text, text.length);
  const found = ratio(at(large), at(small));
  console.log(`context: 8 × the text, ${found.toFixed(1)} × the work`);
  expect(found).toBeLessThan(proportional);
});

test('a keystroke in a large board costs less with the pieces kept', () => {
  const text = texts[0]![2](3000);
  const cache = new PieceCache();
  parseTree(text, cache);
  let letter = 0;
  const typed = () => text.replace('one of 1500', `one of 1500${'x'.repeat(++letter)}`);
  const found = ratio(
    () => parseTree(typed(), cache),
    () => parseTree(typed()),
  );
  console.log(`keystroke: ${(1 / found).toFixed(1)} × less work with pieces kept`);
  expect(found).toBeLessThan(0.8);
});

import { expect, test } from 'vitest';
import { boardFile } from '../../server/src/dialect/board-file';
import { contextAt } from '../../server/src/dialect/context';
import { parseBoard } from '../../server/src/dialect/parse';
import { PieceCache } from '../../server/src/dialect/split';

/** The best of several runs: what the work takes when nothing else is in the way. */
function best(run: () => unknown): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < 4; i++) {
    const start = performance.now();
    run();
    least = Math.min(least, performance.now() - start);
  }
  return least;
}

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

// Eight times the text takes about eight times as long; work that grows with the square would take sixty-four times.
test.each(texts)('reading %s takes time in proportion', (name, size, make) => {
  const [small, large] = [make(size), make(size * 8)];
  parseBoard(small);
  const ratio =
    best(() => parseBoard(large)) /
    Math.max(
      best(() => parseBoard(small)),
      0.5,
    );
  console.log(`${name}: 8 × the text, ${ratio.toFixed(1)} × the time`);
  expect(ratio).toBeLessThan(30);
});

test('what may be written somewhere is found in proportion', () => {
  const make = texts[0]![2];
  const [small, large] = [make(400), make(3200)];
  const at = (text: string) => best(() => contextAt(boardFile, text, text.length));
  at(small);
  const ratio = at(large) / Math.max(at(small), 0.5);
  console.log(`context: 8 × the text, ${ratio.toFixed(1)} × the time`);
  expect(ratio).toBeLessThan(30);
});

test('a keystroke in a large board costs less with the pieces kept', () => {
  const text = texts[0]![2](3000);
  const cache = new PieceCache();
  parseBoard(text, cache);
  let letter = 0;
  const typed = () => text.replace('one of 1500', `one of 1500${'x'.repeat(++letter)}`);
  const kept = best(() => parseBoard(typed(), cache));
  const whole = best(() => parseBoard(typed()));
  console.log(`keystroke: ${(whole / kept).toFixed(1)} × as fast with pieces kept`);
  expect(kept).toBeLessThan(whole);
});

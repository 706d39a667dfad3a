import { describe, expect, test } from 'vitest';
import { newCaptures } from '../../server/src/editor/new-captures';
import { analyseBoard } from '../harness/memory';

/** The text once entries for some recordings have been made. */
async function withEntries(text: string, ...paths: string[]): Promise<string> {
  const edits = newCaptures(await analyseBoard(text), paths);
  return edits.reduceRight((all, { span, text: put }) => all.slice(0, span.start) + put + all.slice(span.end), text);
}

describe('a recording laid into a board', () => {
  test('gets an entry below those that are there, indented as they are', async () => {
    expect(await withEntries('board: b\ncaptures:\n    one:\n        file: a.wav\nnets: {}\n', 'takes/left.wav')).toBe(
      'board: b\ncaptures:\n    one:\n        file: a.wav\n    left:\n      file: takes/left.wav\nnets: {}\n',
    );
  });

  test('makes the key where there is none, or nothing below it, or no line break at the end', async () => {
    const entry = 'captures:\n  left:\n    file: left.csv\n';
    expect(await withEntries('board: b', 'left.csv')).toBe(`board: b\n\n${entry}`);
    expect(await withEntries('', 'left.csv')).toBe(entry);
    expect(await withEntries('board: b\ncaptures:\nnets: {}\n', 'left.csv')).toBe(`board: b\n${entry}nets: {}\n`);
    expect(await withEntries('board: b\r\n', 'left.csv')).toBe(`board: b\r\n\r\n${entry.replaceAll('\n', '\r\n')}`);
  });

  test('takes a free name, quotes what must be quoted, and comes once', async () => {
    const text = 'board: b\ncaptures:\n  left: {file: a/left.wav}\n';
    expect(await withEntries(text, 'b/left.wav', 'b/left.wav', 'a/left.wav', '@odd.wav')).toBe(
      `${text}  left-2:\n    file: b/left.wav\n  "@odd":\n    file: "@odd.wav"\n`,
    );
  });

  test('nothing is done to what is no recording, to captures in braces, to a text that is broken', async () => {
    expect(await withEntries('board: b\n', 'photo.jpg')).toBe('board: b\n');
    const braces = 'board: b\ncaptures: {one: {file: a.wav}}\n';
    expect(await withEntries(braces, 'b.wav')).toBe(braces);
    const broken = 'board: b\ncaptures: {one: [\n';
    expect(await withEntries(broken, 'b.wav')).toBe(broken);
  });

  test('what comes of it is read as it was meant', async () => {
    const text = await withEntries('board: b\n', 'takes/tone left.wav', 'x: y.wav');
    const { board } = await analyseBoard(text);
    expect(board.captures.map((capture) => [capture.name, capture.file?.path])).toEqual([
      ['tone left', 'takes/tone left.wav'],
      ['x: y', 'x: y.wav'],
    ]);
  });
});

import { expect, test } from 'vitest';
import { boardFile } from '../../server/src/dialect/board-file';
import { pinoutFile } from '../../server/src/dialect/pinout-file';
import { reference } from '../../server/src/dialect/reference';
import * as vocabulary from '../../server/src/dialect/words';

const page = reference();

test('tells every top key of both files, and what is required', () => {
  for (const name of [...Object.keys(boardFile.keys), ...Object.keys(pinoutFile.keys)]) {
    expect(page).toMatch(new RegExp(`^\\| \`${name}\`[ (]`, 'm'));
  }
  expect(page).toContain('| `board` (must be there) | text |');
});

test('tells every word of the long lists, with its meaning', () => {
  for (const list of [
    vocabulary.cautions,
    vocabulary.netRoles,
    vocabulary.kinds,
    vocabulary.styles,
    vocabulary.causes,
  ]) {
    for (const word of list) expect(page).toContain(`| \`${word.name}\` | ${word.doc} |`);
  }
});

test('each map is told once, and every mention of one leads to it', () => {
  const titles = [...page.matchAll(/^### `(.*)`$/gm)].map((match) => match[1]!);
  expect(new Set(titles).size).toBe(titles.length);
  for (const [, path] of page.matchAll(/a map, `([^`]+)`/g)) expect(titles).toContain(path);
  for (const [, path] of page.matchAll(/one of the words of `([^`]+)`/g))
    expect(page).toContain(`### Words of \`${path}\``);
});

test('every row has its four cells', () => {
  const rows = page.split('\n').filter((line) => /^\| `/.test(line));
  expect(rows.length).toBeGreaterThan(200);
  for (const row of rows) expect([2, 4]).toContain(row.replace(/\\\|/g, '').split('|').length - 2);
});

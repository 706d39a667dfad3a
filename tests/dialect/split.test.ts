import { expect, test } from 'vitest';
import type { MapNode } from '../../server/src/dialect/node';
import { scan } from '../../server/src/dialect/scan';
import { composeSplit, PieceCache } from '../../server/src/dialect/split';
import { parseTree } from '../../server/src/dialect/tree';
import { board, more } from './texts';

const text = `${board}${more}`;
const section = (root: unknown, key: string) =>
  (root as MapNode).pairs.find((pair) => pair.key.text === key)!.value as MapNode;

test('a change in one entry leaves the nodes of those above as they were, and parses none but itself again', () => {
  const cache = new PieceCache();
  const before = parseTree(text, cache).root;
  let parsed = 0;
  const set = cache.set.bind(cache);
  cache.set = (...args) => {
    parsed++;
    set(...args);
  };
  const after = parseTree(text.replace('R5: 470', 'R5: 4700'), cache).root;
  expect(parsed).toBe(1);
  const [old, now] = [section(before, 'parts'), section(after, 'parts')];
  expect(now.pairs.slice(0, 5).every((pair, i) => pair === old.pairs[i])).toBe(true);
  expect(now.pairs[6]!.span.start).toBe(old.pairs[6]!.span.start + 1);
  expect(after).toEqual(parseTree(text.replace('R5: 470', 'R5: 4700')).root);
});

test('what reaches across pieces is read whole', () => {
  for (const whole of [
    'a: &x b\nc: *x\n',
    '%YAML 1.2\n---\na: b\n',
    '{a: b, c: d}\n',
    '- a\n- b\n',
    'a: {b: c\nd: e\n',
    'a:\n   b: c\n  d: e\n',
    '? a\n: b\n',
    'just text',
  ]) {
    const draft = scan(whole);
    expect(composeSplit(draft, draft.masked(draft.end), new PieceCache())).toBeUndefined();
    expect(parseTree(whole, new PieceCache())).toEqual(parseTree(whole));
  }
});

test('the cache is bounded: the longest unused goes first', () => {
  const cache = new PieceCache(30);
  cache.set('aaaaaaaaaa', 0, null);
  cache.set('bbbbbbbbbb', 0, null);
  cache.get('aaaaaaaaaa', 0);
  cache.set('cccccccccccc', 0, null);
  expect(cache.get('aaaaaaaaaa', 0)).toBeDefined();
  expect(cache.get('bbbbbbbbbb', 0)).toBeUndefined();
  cache.set('d'.repeat(31), 0, null);
  expect(cache.get('d'.repeat(31), 0)).toBeUndefined();
  expect(cache.get('cccccccccccc', 0)).toBeDefined();
});

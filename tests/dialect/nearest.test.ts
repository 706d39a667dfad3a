import fc from 'fast-check';
import { expect, test } from 'vitest';
import { editDistance, meant, nearest } from '../../server/src/dialect/nearest';

// Worked examples of the optimal string alignment distance, from memory: "CA" → "ABC" is 3 there, 2 without its restriction.
test.each([
  ['', '', 0],
  ['abc', '', 3],
  ['kitten', 'sitting', 3],
  ['left', 'elft', 1],
  ['CA', 'ABC', 3],
])('the distance of %j and %j is %d', (a, b, distance) => {
  expect(editDistance(a, b)).toBe(distance);
});

test('a limit changes nothing below it and stops above it', () => {
  const word = fc.string({ maxLength: 8, unit: fc.constantFrom(...'abc') });
  fc.assert(
    fc.property(word, word, fc.nat(6), (a, b, limit) => {
      const distance = editDistance(a, b);
      expect(editDistance(b, a)).toBe(distance);
      expect(editDistance(a, b, limit)).toBe(Math.min(distance, limit + 1));
    }),
    { seed: 22 },
  );
});

test.each([
  ['vlaue', 'value'],
  ['Full_Scale', 'full-scale'],
  ['betwen', 'between'],
  ['atx', 'at'],
  ['xy', undefined],
  ['something', undefined],
])('nearest to %j is %j', (written, found) => {
  expect(nearest(written, ['value', 'full-scale', 'between', 'at', 'ac'])).toBe(found);
});

test.each([
  ['lithium', 'lithium-cell'],
  ['cell', 'lithium-cell'],
  ['grnd', 'ground'],
  ['gnd', 'ground'],
  ['suply', 'supply'],
  // Both begin so: neither is meant more.
  ['audio', undefined],
  ['ad', undefined],
  ['rnd', undefined],
  ['', undefined],
])('%j is short for %j', (written, found) => {
  expect(meant(written, ['ground', 'supply', 'audio-in', 'audio-out', 'lithium-cell'])).toBe(found);
});

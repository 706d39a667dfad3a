import { describe, expect, test } from 'vitest';
import { countAround, countingsOf, isFourSided } from '../../../server/src/diagnosis/identify/numbering';
import { fw2210, sheet } from './at-bench';

const waysTo = (n: number, fourSided: boolean, numbering: string) =>
  countAround(n, fourSided)
    .ways.filter((way) => way.numbering === numbering)
    .map((way) => [...way.sheet].map((to) => to + 1));

describe('ways of counting', () => {
  // The dialect's contract: a turn means written pin 1 is data-sheet pin n/4+1, n/2+1, 3n/4+1.
  test.each([
    [16, 'half-turn', 9],
    [48, 'quarter-turn', 13],
    [48, 'half-turn', 25],
    [48, 'three-quarter-turn', 37],
  ])('%i pins, %s: written pin 1 is data-sheet pin %i', (n, numbering, one) => {
    const [to] = waysTo(n, n === 48, numbering);
    expect(to![0]).toBe(one);
    expect(to![1], 'and the count goes on').toBe(one + 1);
  });

  test('two-sided packages have no quarter turn, odd ones no half turn', () => {
    expect(waysTo(16, false, 'quarter-turn')).toEqual([]);
    expect(waysTo(5, false, 'half-turn')).toEqual([]);
  });

  test('reflections: clockwise from pin 1, and seen from below with pin 1 in its corner', () => {
    const found = waysTo(8, false, 'mirrored');
    expect(found).toContainEqual([1, 8, 7, 6, 5, 4, 3, 2]);
    expect(found).toContainEqual([8, 7, 6, 5, 4, 3, 2, 1]);
    // SOT-23-5 flipped over: 1 and 3 change places, and so do 4 and 5.
    expect(waysTo(5, false, 'mirrored')).toContainEqual([3, 2, 1, 5, 4]);
    expect(waysTo(32, true, 'mirrored')).toHaveLength(8);
  });

  test.each([1, 2, 3, 5, 8, 14, 32, 100])('%i pins: every way is another permutation, and the priors sum to 1', (n) => {
    const { ways } = countAround(n, isFourSided(undefined, n));
    for (const { sheet: to } of ways) expect([...to].sort((a, b) => a - b)).toEqual([...Array(n).keys()]);
    expect(new Set(ways.map((way) => way.sheet.join())).size).toBe(ways.length);
    expect(ways.reduce((sum, way) => sum + way.prior, 0)).toBeCloseTo(1, 12);
    expect(ways[0]!.numbering).toBe('as-marked');
  });

  test('four sides by the style of the package, else by its number of pins', () => {
    expect(isFourSided('qfn-32', 32)).toBe(true);
    expect(isFourSided('LQFP-48', 48)).toBe(true);
    expect(isFourSided('tssop-28', 28)).toBe(false);
    expect(isFourSided('dfn-8', 8)).toBe(false);
    expect(isFourSided(undefined, 48)).toBe(true);
    expect(isFourSided(undefined, 16)).toBe(false);
  });

  test('how many pins: by the package, else by the part, else by the highest written', () => {
    expect(countingsOf(fw2210, undefined, undefined).keys).toHaveLength(16);
    const bare = sheet('pinout: bare\npins: {1: VDD, 6: VSS}\n');
    expect(countingsOf(bare, undefined, 8).keys).toHaveLength(8);
    expect(countingsOf(bare, undefined, undefined).keys).toHaveLength(6);
  });

  test('ball grids turn by half and mirror, with the letters JEDEC leaves out left out', () => {
    const balls = sheet('pinout: balls\npins: {H1: A, H2: B, J1: C, J2: D}\n');
    const { keys, ways } = countingsOf(balls, undefined, undefined);
    const named = (numbering: string) =>
      ways.filter((way) => way.numbering === numbering).map((way) => [...way.sheet].map((to) => keys[to]));
    expect(named('half-turn')).toEqual([['J2', 'J1', 'H2', 'H1']]);
    expect(named('mirrored')).toEqual([
      ['H2', 'H1', 'J2', 'J1'],
      ['J1', 'J2', 'H1', 'H2'],
    ]);
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isStandard, nearest, type SeriesName, series } from '../../server/src/quantity/series';

const list = (text: string): number[] => text.trim().split(/\s+/).map(Number);

/** IEC 60063:2015 values, as open tables print them (E3 to E24 from two of them; 920 of E192 from five). */
const published: Record<SeriesName, number[]> = {
  E3: list('10 22 47'),
  E6: list('10 15 22 33 47 68'),
  E12: list('10 12 15 18 22 27 33 39 47 56 68 82'),
  E24: list('10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91'),
  E48: list(`
    100 105 110 115 121 127 133 140 147 154 162 169
    178 187 196 205 215 226 237 249 261 274 287 301
    316 332 348 365 383 402 422 442 464 487 511 536
    562 590 619 649 681 715 750 787 825 866 909 953`),
  E96: list(`
    100 102 105 107 110 113 115 118 121 124 127 130
    133 137 140 143 147 150 154 158 162 165 169 174
    178 182 187 191 196 200 205 210 215 221 226 232
    237 243 249 255 261 267 274 280 287 294 301 309
    316 324 332 340 348 357 365 374 383 392 402 412
    422 432 442 453 464 475 487 499 511 523 536 549
    562 576 590 604 619 634 649 665 681 698 715 732
    750 768 787 806 825 845 866 887 909 931 953 976`),
  E192: list(`
    100 101 102 104 105 106 107 109 110 111 113 114 115 117 118 120
    121 123 124 126 127 129 130 132 133 135 137 138 140 142 143 145
    147 149 150 152 154 156 158 160 162 164 165 167 169 172 174 176
    178 180 182 184 187 189 191 193 196 198 200 203 205 208 210 213
    215 218 221 223 226 229 232 234 237 240 243 246 249 252 255 258
    261 264 267 271 274 277 280 284 287 291 294 298 301 305 309 312
    316 320 324 328 332 336 340 344 348 352 357 361 365 370 374 379
    383 388 392 397 402 407 412 417 422 427 432 437 442 448 453 459
    464 470 475 481 487 493 499 505 511 517 523 530 536 542 549 556
    562 569 576 583 590 597 604 612 619 626 634 642 649 657 665 673
    681 690 698 706 715 723 732 741 750 759 768 777 787 796 806 816
    825 835 845 856 866 876 887 898 909 920 931 942 953 965 976 988`),
};

const names = Object.keys(published) as SeriesName[];

describe('preferred numbers (IEC 60063)', () => {
  test.each(names)('%s is the published list', (name) => {
    expect(series[name]).toEqual(published[name]);
  });

  // Which E24 values are in the finer series follows from the lists; worked out by hand from them.
  test('only six E24 values are in E96, and eleven in E192', () => {
    const shared = (name: SeriesName) => published.E24.filter((value) => isStandard(value, name));
    expect(shared('E96')).toEqual([10, 11, 13, 15, 20, 75]);
    expect(shared('E192')).toEqual([10, 11, 12, 13, 15, 16, 18, 20, 24, 47, 75]);
  });

  test('the series a value belongs to', () => {
    const having = (value: number) => (Object.keys(series) as SeriesName[]).filter((name) => isStandard(value, name));
    expect(having(4700)).toEqual(['E3', 'E6', 'E12', 'E24', 'E192']);
    expect(having(5.1e3)).toEqual(['E24']);
    expect(having(4.64e3)).toEqual(['E48', 'E96', 'E192']);
    expect(having(4.75e3)).toEqual(['E96', 'E192']);
    expect(having(9.2)).toEqual(['E192']);
    expect(having(9.19)).toEqual([]);
    expect(isStandard(0.1 + 0.2 - 0.08, 'E3')).toBe(true); // 0.22 but for binary rounding
  });

  test('nearest, up and down, across a decade too', () => {
    expect(nearest(4600, 'E12')).toBe(4700);
    expect(nearest(950, 'E12')).toBe(1000);
    expect(nearest(950, 'E12', 'down')).toBe(820);
    expect(nearest(8.3e-10, 'E12', 'up')).toBe(1e-9);
    expect(nearest(4700, 'E96', 'up')).toBe(4750);
    expect(nearest(4700, 'E24', 'up')).toBe(4700);
    for (const value of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) expect(nearest(value, 'E24')).toBe(null);
  });

  test('any value lies between two neighbours of the published list, or on one', () => {
    const value = fc.double({ min: 1e-12, max: 1e9, noNaN: true });
    fc.assert(
      fc.property(value, fc.constantFrom(...names), (x, name) => {
        const up = nearest(x, name, 'up')!;
        const down = nearest(x, name, 'down')!;
        expect(down * (1 - 1e-8)).toBeLessThanOrEqual(x);
        expect(up * (1 + 1e-8)).toBeGreaterThanOrEqual(x);
        expect([up, down]).toContain(nearest(x, name));
        expect(isStandard(up, name) && isStandard(down, name)).toBe(true);
        const decades = (y: number, v: number) => Math.log10(y / v);
        const at = (y: number) =>
          published[name].findIndex((v) => Math.abs(decades(y, v) - Math.round(decades(y, v))) < 1e-6);
        if (up !== down) expect((at(down) + 1) % series[name].length).toBe(at(up));
      }),
    );
  });
});

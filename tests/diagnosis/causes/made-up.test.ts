import { describe, expect, test } from 'vitest';
import { inOrder, needed, onTheWay, proposed, unplaced } from './generator/follow';
import { simulate } from './generator/simulate';
import { calibration, nameOfFault, type Trial, trial, visible } from './generator/trial';
import { tuned, unseen } from './generator/world';

/*
 * Boards made up from seeds, with one fault or none, measured by the generator's own simulation with noise of 0.3 dB, 2° and 1 %.
 * The figures asked for are the project's own aims; families, seeds and odds of faults were not tuned on. The longer runs, with the
 * ideal observer beside, are in tests/bench.
 */
const many = (from: number, count: number, healthy: number): Trial[] =>
  Array.from({ length: count }, (_, k) => trial(from + k, unseen, healthy));

describe('boards of families not looked at', () => {
  const faulty = many(50_000, 50, 0);
  const healthy = many(60_000, 30, 1);

  test('faults that lie over 3σ from healthy: the first group holds the true cause in 95 of 100', () => {
    const seen = faulty.filter((one) => visible(one) > 3);
    expect(seen.length).toBeGreaterThan(20);
    const missed = seen.filter(({ found }) => !found).map((one) => nameOfFault(one.fault));
    expect(missed.length / seen.length, missed.join(', ')).toBeLessThanOrEqual(0.05);
    // A big group is no answer.
    const sizes = seen.map(({ size }) => size).sort((a, b) => a - b);
    expect(sizes[sizes.length >> 1]).toBeLessThanOrEqual(6);
  });

  test('healthy boards are called as designed, and nothing is told unasked', () => {
    expect(healthy.filter(({ found }) => !found)).toEqual([]);
    expect(healthy.filter(({ diagnosis }) => diagnosis.enough)).toEqual([]);
  });

  test('the probability of the first group is how often it is right, within 0.05', () => {
    expect(calibration([...faulty, ...healthy])).toBeLessThanOrEqual(0.05);
  });

  test('probabilities are sorted, add up to no more than one, and as-designed is always there', () => {
    for (const { diagnosis } of [...faulty, ...healthy]) {
      const shares = diagnosis.causes.map(({ probability }) => probability);
      expect(shares).toEqual([...shares].sort((a, b) => b - a));
      expect(shares.reduce((sum, share) => sum + share, 0)).toBeLessThanOrEqual(1 + 1e-9);
      expect(diagnosis.causes.some(({ cause }) => cause === 'as-designed')).toBe(true);
    }
  });

  test('the same on every run', () => {
    const [one, again] = [trial(50_003, unseen), trial(50_003, unseen)];
    expect(again.diagnosis).toEqual(one.diagnosis);
  });
});

describe('the next probe', () => {
  test('places a fault behind the chip’s pin with at most 60 % of the measurements that probing in signal order needs', () => {
    let ours = 0;
    let theirs = 0;
    for (let seed = 90_000; seed < 90_016; seed++) {
      const one = trial(
        seed,
        [...tuned, ...unseen],
        0,
        simulate,
        (fault, world) => onTheWay(fault, world) && fault.cause === 'open',
      );
      if (!unplaced(one)) continue;
      ours += needed(one, proposed);
      theirs += needed(one, inOrder(one));
    }
    expect(theirs).toBeGreaterThan(15);
    expect(ours / theirs).toBeLessThanOrEqual(0.6);
  });
});

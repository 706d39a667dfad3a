import { describe, test } from 'vitest';
import { inOrder, needed, onTheWay, proposed, unplaced } from '../diagnosis/causes/generator/follow';
import { simulate } from '../diagnosis/causes/generator/simulate';
import { calibration, idealFinds, nameOfFault, type Trial, trial, visible } from '../diagnosis/causes/generator/trial';
import { type Family, tuned, unseen } from '../diagnosis/causes/generator/world';

/** How many boards; the environment may ask for more. */
const count = (name: string, usual: number) => Number(process.env[name] ?? usual);

const quantile = (values: readonly number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))] ?? Number.NaN;
const percent = (part: number, of: number) => `${part} of ${of} (${((100 * part) / of).toFixed(1)} %)`;

function many(from: number, boards: number, families: readonly Family[], healthy = 0): Trial[] {
  return Array.from({ length: boards }, (_, k) => trial(from + k, families, healthy));
}

describe('causes on boards made up from seeds', () => {
  for (const [name, families, from] of [
    ['families looked at', tuned, 1],
    ['families not looked at', unseen, 50_000],
  ] as const)
    test(name, { timeout: 3_600_000 }, () => {
      const faulty = many(from, count('BOARDS', 24), families);
      const seen = faulty.filter((one) => visible(one) > 3);
      const healthy = many(from + 10_000, count('HEALTHY', 12), families, 1);
      const mixed = [...many(from + 20_000, count('BOARDS', 24), families, 0.4)];
      const sizes = seen.map(({ size }) => size);
      const judged = faulty.slice(0, count('IDEAL', 3));
      console.log(
        [
          `${name}: ${families.join(', ')}`,
          `true cause in the first group: ${percent(faulty.filter(({ found }) => found).length, faulty.length)}`,
          `where the noise-free figures lie over 3σ from healthy: ${percent(seen.filter(({ found }) => found).length, seen.length)}`,
          `group size there: median ${quantile(sizes, 0.5)}, 90th percentile ${quantile(sizes, 0.9)}`,
          `healthy boards called as designed: ${percent(healthy.filter(({ found }) => found).length, healthy.length)}`,
          `calibration error, two fifths healthy: ${calibration(mixed).toFixed(3)}`,
          `of ${judged.length}: ours ${judged.filter(({ found }) => found).length}, the ideal observer ${judged.filter((one) => idealFinds(one, 0.2, 40)).length}`,
          `a diagnosis: median ${quantile(
            faulty.map(({ ms }) => ms),
            0.5,
          ).toFixed(0)} ms`,
          ...seen
            .filter(({ found }) => !found)
            .map((one) => `missed: ${nameOfFault(one.fault)} ${JSON.stringify(one.form)} on ${one.world.family}`),
        ].join('\n'),
      );
    });

  test('following the next probe, beside probing in signal order', { timeout: 3_600_000 }, () => {
    const ours: number[] = [];
    const theirs: number[] = [];
    const told: string[] = [];
    for (let seed = 70_000; seed < 70_000 + count('FOLLOWED', 8); seed++) {
      const one = trial(seed, [...tuned, ...unseen], 0, simulate, onTheWay);
      if (!unplaced(one)) continue;
      ours.push(needed(one, proposed));
      theirs.push(needed(one, inOrder(one)));
      told.push(
        `${nameOfFault(one.fault)} on ${one.world.family}: ${ours[ours.length - 1]}, ${theirs[theirs.length - 1]}`,
      );
    }
    const sum = (values: readonly number[]) => values.reduce((all, value) => all + value, 0);
    console.log(
      `${ours.length} faults: ${sum(ours)} measurements by the next probe (not isolated in ${ours.filter((n) => n === 10).length}), ${sum(theirs)} in signal order (${theirs.filter((n) => n === 10).length}): ${((100 * sum(ours)) / sum(theirs)).toFixed(0)} %\n${told.join('\n')}`,
    );
  });
});

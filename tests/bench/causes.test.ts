import { describe, test } from 'vitest';
import { faultName } from '../diagnosis/causes/generator/faults';
import {
  compared,
  type Followed,
  follow,
  inOrder,
  onTheWay,
  proposed,
  unplaced,
} from '../diagnosis/causes/generator/follow';
import { Tally } from '../diagnosis/causes/generator/paired';
import { simulate } from '../diagnosis/causes/generator/simulate';
import {
  byOdds,
  calibration,
  ideal,
  nameOfFault,
  type Trial,
  trial,
  visible,
} from '../diagnosis/causes/generator/trial';
import { type Family, tuned, unseen } from '../diagnosis/causes/generator/world';

/** How many boards; the environment may ask for more. */
const count = (name: string, usual: number) => Number(process.env[name] ?? usual);

const quantile = (values: readonly number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))] ?? Number.NaN;
const percent = (part: number, of: number) => `${part} of ${of} (${((100 * part) / of).toFixed(1)} %)`;

function many(from: number, boards: number, families: readonly Family[], healthy = 0): Trial[] {
  return Array.from({ length: boards }, (_, k) => trial(from + k, families, healthy));
}

const told = (one: Trial) => `${nameOfFault(one.fault)} ${JSON.stringify(one.form)} on ${one.world.family}`;

const groups = [
  ['families looked at', tuned, 1],
  ['families not looked at', unseen, 50_000],
] as const;

describe('causes on boards made up from seeds', () => {
  for (const [name, families, from] of groups)
    test(name, { timeout: 3_600_000 }, () => {
      const faulty = many(from, count('BOARDS', 24), families);
      const seen = faulty.filter((one) => visible(one) > 3);
      const healthy = many(from + 10_000, count('HEALTHY', 12), families, 1);
      const mixed = [...many(from + 20_000, count('BOARDS', 24), families, 0.4)];
      const sizes = seen.map(({ size }) => size);
      console.log(
        [
          `${name}: ${families.join(', ')}`,
          `true cause in the first group: ${percent(faulty.filter(({ found }) => found).length, faulty.length)}`,
          `where the noise-free figures lie over 3σ from healthy: ${percent(seen.filter(({ found }) => found).length, seen.length)}`,
          `group size there: median ${quantile(sizes, 0.5)}, 90th percentile ${quantile(sizes, 0.9)}`,
          `healthy boards called as designed: ${percent(healthy.filter(({ found }) => found).length, healthy.length)}`,
          `calibration error, two fifths healthy: ${calibration(mixed).toFixed(3)}`,
          `a diagnosis: median ${quantile(
            faulty.map(({ ms }) => ms),
            0.5,
          ).toFixed(0)} ms`,
          ...seen.filter(({ found }) => !found).map((one) => `missed: ${told(one)}`),
        ].join('\n'),
      );
    });

  /*
   * Boards drawn with the odds of the generator's table, in which a healthy one has 100; or SHARE of them healthy. The observer is told.
   * Both answer with a group made the same way; only where they differ is anything learnt about which of them is better.
   */
  for (const [name, families, from] of groups)
    test(`beside the ideal observer: ${name}`, { timeout: 7_200_000 }, () => {
      const share = process.env.SHARE === undefined ? byOdds : Number(process.env.SHARE);
      const all = new Tally();
      const faulty = new Tally();
      const unsure: number[] = [];
      const differ: string[] = [];
      for (let seed = from + 30_000; seed < from + 30_000 + count('IDEAL', 4); seed++) {
        const one = trial(seed, families, share);
        const { found, error, lead } = ideal(one, share, count('DRAWS', 2000));
        all.add(one.found, found);
        if (one.fault !== null) faulty.add(one.found, found);
        unsure.push(error);
        if (one.found !== found)
          differ.push(
            `${seed}: ${told(one)}: ours ${one.found ? 'right' : `says ${faultName(one.diagnosis.causes[0]!)}`}, the observer ${found ? 'right' : `says ${lead}`}`,
          );
      }
      console.log(
        [
          name,
          `all boards: ${all.text}`,
          `faulty ones: ${faulty.text}`,
          `sampling error of the observer's log odds: median ${quantile(unsure, 0.5).toFixed(3)}, 99th percentile ${quantile(unsure, 0.99).toFixed(3)}`,
          ...differ,
        ].join('\n'),
      );
    });

  test('following the next probe, beside probing in signal order', { timeout: 3_600_000 }, () => {
    const ours: Followed[] = [];
    const theirs: Followed[] = [];
    const lines: string[] = [];
    for (let seed = 70_000; seed < 70_000 + count('FOLLOWED', 8); seed++) {
      const one = trial(seed, [...tuned, ...unseen], 0, simulate, onTheWay);
      if (!unplaced(one)) continue;
      ours.push(follow(one, proposed));
      theirs.push(follow(one, inOrder(one)));
      const [a, b] = [ours[ours.length - 1]!, theirs[theirs.length - 1]!].map(
        ({ made, isolated }) => `${made}${isolated ? '' : ' and not isolated'}`,
      );
      lines.push(`${nameOfFault(one.fault)} on ${one.world.family}: ${a}, ${b}`);
    }
    console.log(`${compared(ours, theirs)}\n${lines.join('\n')}`);
  });
});

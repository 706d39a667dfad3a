import { describe, expect, test } from 'vitest';
import { information } from '../../../../server/src/diagnosis/causes/next-probe';
import { boardOf, diagnose } from '../bench';
import type { Fault } from './faults';
import { follow, inOrder, proposed, unplaced } from './follow';
import { figuresOf, simulate } from './simulate';
import { type Trial, trial } from './trial';
import type { World } from './world';

const far = 1e4;
const quarter = [0.25, 0.25, 0.25, 0.25];
/** Distances of four outcomes: `alike` pairs at 0, all others far apart. */
const distances = (...alike: [number, number][]) =>
  quarter.map((_, i) =>
    quarter.map((_, j) => (i === j || alike.some(([a, b]) => (a === i && b === j) || (a === j && b === i)) ? 0 : far)),
  );

describe('what a measurement is expected to tell, where values are unknown', () => {
  test('two causes, two scenes each, all outcomes apart: one bit, not two', () => {
    expect(information(quarter, distances(), [0, 0, 1, 1])).toBeCloseTo(1, 9);
    expect(information(quarter, distances())).toBeCloseTo(2, 9);
  });

  test('what tells the scenes apart and not the causes is worth nothing', () => {
    expect(information(quarter, distances([0, 2], [1, 3]), [0, 0, 1, 1])).toBeCloseTo(0, 9);
  });

  test('what tells the causes apart in one of two scenes is worth half a bit', () => {
    expect(information(quarter, distances([0, 2]), [0, 0, 1, 1])).toBeCloseTo(0.5, 9);
  });
});

/** The same board and measurements, but nobody says what the first resistor in the way of the right side is worth. */
function unstated(one: Trial): Trial {
  const { ref } = one.world.pieces.find(
    ({ kind, nets }) => kind === 'R' && nets.includes('JR') && nets.includes('AR'),
  )!;
  const text = one.world.text.replace(new RegExp(`^ {2}${ref}: .*$`, 'm'), `  ${ref}:`);
  const world = { ...one.world, text };
  const board = boardOf(text.replace('READING', `${one.volts.toFixed(3)} V`), world.pinout);
  return { ...one, world, diagnosis: diagnose({ board, figures: figuresOf(one.seen) }) };
}

test('the next probe places an open capacitor where the resistor behind it has no value, with less than signal order needs', () => {
  let [ours, theirs, followed] = [0, 0, 0];
  for (let seed = 95_000; followed < 1; seed++) {
    const open = (fault: Fault, { pieces }: World) =>
      fault.cause === 'open' && pieces.some(({ ref, nets }) => ref === fault.at[0] && nets.join() === 'OR,AR');
    const one = unstated(trial(seed, ['line', 'phones'], 0, simulate, open, 12));
    expect(one.diagnosis.notes.join(' ')).toMatch(/has no value: taken over/);
    if (!unplaced(one)) continue;
    followed++;
    const own = follow(one, proposed);
    expect(own.isolated, `${seed}`).toBe(true);
    ours += own.made;
    theirs += follow(one, inOrder(one)).made;
  }
  expect(ours).toBeLessThan(theirs);
});

test('ohms across a resistor are proposed where its value is in doubt', () => {
  let asked = 0;
  for (let seed = 96_000; asked < 2; seed++) {
    const shunt = (fault: Fault, { pieces }: World) =>
      fault.cause === 'wrong-value' &&
      pieces.some(({ ref, kind, nets }) => ref === fault.at[0] && kind === 'R' && nets.join() === 'JR,GND');
    const { diagnosis, fault } = trial(seed, ['line'], 0, simulate, shunt, 12);
    const place = fault!.at[0]!;
    const share = diagnosis.causes.filter(({ at }) => at[0] === place).reduce((sum, one) => sum + one.probability, 0);
    if (share < 0.2 || share > 0.8) continue;
    asked++;
    const ohms = diagnosis.next.find(({ instrument, probe }) => instrument === 'ohms' && probe[0] === `${place}.1`);
    expect(ohms?.gain, `${seed}`).toBeGreaterThan(0.2);
    expect(ohms!.outcomes.length).toBeGreaterThan(1);
  }
});

import { expect, test } from 'vitest';
import { noiseOf, sum } from '../../signal/make';
import { boardOf, diagnose, measuredAs } from './bench';
import { coupled, frames, heard, stage, tone } from './coupled';

const hiss = (seed: number) => noiseOf(seed, frames, 1e-5);
const bench = async () => {
  // One value is not known, so that draws of it are weighed too.
  const text = coupled(tone('left', 'left') + tone('both', 'both')).replace('R2: 470', 'R2:');
  const on = boardOf(text, stage);
  const silent = hiss(1);
  return {
    board: on,
    figures: await measuredAs(on, { left: [silent, hiss(2)], both: [silent, sum(heard(), hiss(3))] }),
  };
};

test('asked all the way: among draws, causes, pairs and probes', async () => {
  const input = await bench();
  let asked = 0;
  const whole = diagnose(input, () => {
    asked++;
    return false;
  });
  expect(whole.next.length).toBeGreaterThan(0);
  expect(whole.notes.join(' ')).not.toContain('Stopped');
  // More often than there are draws and causes: the probes ask as well.
  expect(asked).toBeGreaterThan(100);
  expect(whole).toEqual(diagnose(input));
});

test('stopped at any point it ends at once, claims nothing, and says that it is not all', async () => {
  const input = await bench();
  for (const after of [0, 1, 5, 40, 90]) {
    let asked = 0;
    const made = diagnose(input, () => asked++ >= after);
    // Once told to, nothing asks again.
    expect(asked).toBe(after + 1);
    expect(made.enough).toBe(false);
    expect(made.next).toEqual([]);
    expect(made.notes[0]).toContain('Stopped before every cause was weighed');
  }
});

import { expect, test } from 'vitest';
import { faultsOf } from './faults';
import { flat, Quick } from './quick';
import { drawSpecimen, simulate } from './simulate';
import { Draw, drawWorld, tuned, unseen } from './world';

test('the quick simulation shows what the plain one shows, under every fault on the way of the signal', () => {
  for (let seed = 1; seed <= 8; seed++) {
    const world = drawWorld(seed, [...tuned, ...unseen], 20);
    const quick = new Quick(world);
    const draw = new Draw(seed);
    for (const fault of faultsOf(world)) {
      const form = fault.form(draw);
      const specimen = drawSpecimen(world, draw);
      const plain = flat(simulate(world, specimen, form));
      const own = quick.simulate(specimen, form);
      const loudest = Math.max(...plain.map(Math.abs), 1e-6);
      const worst = Math.max(...plain.map((value, k) => Math.abs(own[k]! - value)));
      expect(worst / loudest, `${fault.cause} ${fault.at}`).toBeLessThan(1e-6);
    }
  }
});

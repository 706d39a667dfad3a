import { describe, test } from 'vitest';
import { boardOf, diagnose } from '../diagnosis/causes/bench';
import { faultName, faultsOf } from '../diagnosis/causes/generator/faults';
import { drawSpecimen, figuresOf, simulate, withNoise } from '../diagnosis/causes/generator/simulate';
import { Draw, drawWorld, tuned } from '../diagnosis/causes/generator/world';

describe('x', () => {
  test('y', () => {
    let right = 0;
    const n = Number(process.env.N ?? 40);
    const t0 = performance.now();
    let td = 0;
    for (let seed = 1; seed <= n; seed++) {
      const world = drawWorld(seed, tuned);
      const draw = new Draw(1000 + seed);
      const faults = faultsOf(world);
      const total = faults.reduce((s, f) => s + f.odds, 0);
      let pick = draw.number(0, total);
      const fault = faults.find((f) => (pick -= f.odds) < 0)!;
      const form = fault.form(draw);
      const seen = withNoise(simulate(world, drawSpecimen(world, draw), form), draw);
      const board = boardOf(
        world.text.replace('READING', `${form.unpowered ? 0.01 : (3.3 * (1 + 0.01 * draw.gauss())).toFixed(3)} V`),
        world.pinout,
      );
      const t1 = performance.now();
      const d = diagnose({ board, figures: figuresOf(seen) });
      td += performance.now() - t1;
      const name = faultName(fault);
      const group = d.causes.filter((c) => c.group === 1).map(faultName);
      const ok = group.includes(name);
      if (ok) right++;
      console.log(
        ok ? 'ok ' : 'BAD',
        seed,
        world.family,
        world.pieces.length,
        name,
        JSON.stringify(form).slice(0, 90),
        ok
          ? group.length
          : d.causes
              .slice(0, 3)
              .map((c) => `${c.group}:${faultName(c)} ${c.figure} ${c.probability.toFixed(3)}`)
              .join(' | '),
        ok
          ? ''
          : d.causes.filter((c) => faultName(c) === name).map((c) => `true ${c.group} ${c.probability.toFixed(4)}`),
      );
    }
    console.log(right, n, 'total ms', performance.now() - t0, 'diagnose ms each', td / n);
  });
});

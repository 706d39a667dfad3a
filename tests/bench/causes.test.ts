import { describe, test } from 'vitest';
import { idealFinds, nameOfFault, trial, visible } from '../diagnosis/causes/generator/trial';
import { tuned, unseen } from '../diagnosis/causes/generator/world';

describe('x', () => {
  test('y', () => {
    const n = Number(process.env.N ?? 40);
    const from = Number(process.env.FROM ?? 1);
    const fam = process.env.FAM === 'unseen' ? unseen : tuned;
    let found = 0, ideal = 0, vis = 0, visFound = 0, t = 0, tv = 0, ti = 0;
    for (let seed = from; seed < from + n; seed++) {
      const one = trial(seed, fam);
      t += one.ms;
      const s0 = performance.now();
      const v = visible(one);
      tv += performance.now() - s0;
      const s1 = performance.now();
      const id = process.env.IDEAL ? idealFinds(one, 0.2, 60) : true;
      ti += performance.now() - s1;
      if (one.found) found++;
      if (id) ideal++;
      if (v > 3) { vis++; if (one.found) visFound++; }
      if (!one.found || !id) console.log(one.found ? 'ok ' : 'BAD', id ? 'ideal ok' : 'ideal BAD', seed, one.world.family, one.world.pieces.length, nameOfFault(one.fault), v.toFixed(1), JSON.stringify(one.form).slice(0, 90), one.diagnosis.causes.slice(0, 3).map((c) => `${c.group}:${nameOfFault(c as never)} ${c.figure} ${c.probability.toFixed(3)}`).join(' | '), one.diagnosis.causes.filter((c) => nameOfFault(c as never) === nameOfFault(one.fault)).map((c) => `true ${c.group} ${c.probability.toFixed(4)}`).join());
    }
    console.log(`total n ${n} found ${found} ideal ${ideal} visible ${vis} found ${visFound}; ms diagnose ${t / n} vis ${tv / n} ideal ${ti / n}`);
  }, 600000);
});

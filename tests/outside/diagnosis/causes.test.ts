import { expect, test } from 'vitest';
import type { Broken } from '../../diagnosis/causes/generator/faults';
import { drive, netlistOf, type Seen, type Specimen, simulate } from '../../diagnosis/causes/generator/simulate';
import { nameOfFault, trial, visible } from '../../diagnosis/causes/generator/trial';
import { captures, tuned, unseen, type World } from '../../diagnosis/causes/generator/world';
import { outside } from '../../harness/outside';
import { spice } from '../circuit/spice';

/** What ngspice shows at tip, ring and sleeve of a specimen with its fault, in each capture. */
function bySpice(world: World, specimen: Specimen, broken: Broken): Seen {
  const netlist = netlistOf(world, specimen, broken);
  const answers = spice(
    captures.map((capture) => {
      const [l, r] = drive(world, specimen, broken, capture);
      const volts: Record<string, number> = { VL: l, VR: r };
      const elements = netlist.elements.map((element) =>
        element.kind === 'voltage'
          ? { ...element, ac: Math.abs(volts[element.name]!), phase: volts[element.name]! < 0 ? 180 : 0 }
          : element,
      );
      return { ...netlist, elements };
    }),
    [997, 40],
  );
  return captures.map(({ hertz }, c) =>
    ['tip', 'ring', 'sleeve'].map((node) => {
      const { re, im } = answers[c]!.get(hertz)!.get(node)!;
      return { re: re * specimen.scale, im: im * specimen.scale };
    }),
  );
}

outside.suite(['ngspice'], 'faults simulated by ngspice', () => {
  const trials = Array.from({ length: 40 }, (_, k) => trial(80_000 + k, [...tuned, ...unseen], 0, bySpice));

  test('95 of 100 of those that lie over 3σ from healthy are found', () => {
    const seen = trials.filter((one) => visible(one) > 3);
    expect(seen.length).toBeGreaterThan(20);
    const missed = seen.filter(({ found }) => !found).map((one) => nameOfFault(one.fault));
    expect(missed.length / seen.length, missed.join(', ')).toBeLessThanOrEqual(0.05);
  });

  test('and the generator’s own simulation says what ngspice says', () => {
    for (const { world, specimen, form } of trials.slice(0, 12)) {
      const [ours, theirs] = [simulate(world, specimen, form), bySpice(world, specimen, form)];
      const loudest = Math.max(...ours.flat().map(({ re, im }) => Math.hypot(re, im)), 1e-6);
      for (const [c, channels] of ours.entries())
        for (const [k, { re, im }] of channels.entries())
          expect(Math.hypot(re - theirs[c]![k]!.re, im - theirs[c]![k]!.im) / loudest).toBeLessThan(1e-6);
    }
  });
});

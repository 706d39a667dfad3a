import { series } from '../../quantity/series';
import { logSum } from './gauss';
import { Likelihood } from './likelihood';
import type { Scene } from './scene';
import type { Stop } from './search';
import type { Hypothesis } from './types';

/** Values a part may have whose own nobody has stated: a few of a decade, over the decades boards use, in Ω, F and H. */
const ranges = {
  resistor: { of: series.E6, from: 0, to: 5 },
  load: { of: series.E3, from: 0, to: 4 },
  capacitor: { of: series.E3, from: -11, to: -4 },
  inductor: { of: series.E3, from: -7, to: -2 },
} as const;

/** Draws at most, and those kept. */
const mostDraws = 256;
const mostKept = 6;
/** ln by which a draw may fall short of the best and still be kept. */
const shortBy = 10;

export interface Filled {
  readonly scenes: readonly Scene[];
  /** In a sentence, where anything was drawn. */
  readonly note: string | undefined;
}

/**
 * Scenes with values for the parts that have none and on which something measured hangs. One such part is taken over its series;
 * several by seeded draws, those kept that fit any of the probing hypotheses. Around each value the part is uncertain by its step.
 */
export function filledScenes(plain: Scene, probing: readonly Hypothesis[], stop: Stop = () => false): Filled {
  const names = unknownNames(plain).filter((name) => matters(plain, name));
  if (names.length === 0) return { scenes: [plain], note: undefined };
  const lists = names.map((name) => valuesOf(plain, name));
  const product = lists.reduce((count, list) => count * list.length, 1);
  const draws =
    product <= mostDraws
      ? combinations(names, lists)
      : Array.from({ length: mostDraws }, (_, k) => new Map(names.map((name, n) => [name, drawn(lists[n]!, k, n)])));
  const weighed = draws
    .flatMap((draw, order) => {
      // One draw is always weighed: what follows stands on it.
      if (order > 0 && stop()) return [];
      const scene = plain.filledWith(draw);
      const likelihood = new Likelihood(scene);
      const log = logSum(
        probing.flatMap((one) =>
          one.variants.slice(0, 2).map(({ effect }) => likelihood.fit(scene.predict(effect)).log + Math.log(one.prior)),
        ),
      );
      return [{ scene, log, order }];
    })
    .sort((a, b) => b.log - a.log || a.order - b.order);
  const best = weighed[0]!.log;
  const scenes = weighed.filter(({ log }, k) => k < mostKept && log > best - shortBy).map(({ scene }) => scene);
  const how =
    product <= mostDraws
      ? `all ${draws.length} values of a coarse series`
      : `${mostDraws} seeded draws from coarse series`;
  return {
    scenes,
    note: `${names.join(', ')} ${names.length > 1 ? 'have' : 'has'} no value: taken over ${how}, the ${scenes.length} that fit best kept.`,
  };
}

function unknownNames(scene: Scene): string[] {
  const names = new Set<string>();
  for (const { take } of scene.takes)
    for (const element of scene.bench(take.state)?.elements ?? []) {
      const unknown =
        ((element.kind === 'resistor' || element.kind === 'load') && element.ohms === null) ||
        (element.kind === 'capacitor' && element.farads === null) ||
        (element.kind === 'inductor' && element.henries === null);
      if (unknown) names.add(element.name);
    }
  return [...names];
}

/** Whether anything measured moves when the value goes from one end of its range to the other. */
function matters(scene: Scene, name: string): boolean {
  const list = valuesOf(scene, name);
  const [low, high] = [list[0]!, list[list.length - 1]!].map(
    (value) => scene.filledWith(new Map([[name, value]])).predict({}, false).values,
  );
  return low!.some((value, k) => Math.abs(value - high![k]!) > 1e-3 * Math.abs(value) + 1e-5);
}

function valuesOf(scene: Scene, name: string): number[] {
  for (const { take } of scene.takes) {
    const element = scene.bench(take.state)?.elements.find((one) => one.name === name);
    if (!element || !(element.kind in ranges)) continue;
    const { of, from, to } = ranges[element.kind as keyof typeof ranges];
    return Array.from({ length: to - from + 1 }, (_, decade) =>
      of.map((value) => Number(`${value}e${from + decade}`)),
    ).flat();
  }
  return [1];
}

function combinations(names: readonly string[], lists: readonly (readonly number[])[]): Map<string, number>[] {
  return names.reduce<Map<string, number>[]>(
    (all, name, n) => all.flatMap((one) => lists[n]!.map((value) => new Map([...one, [name, value]]))),
    [new Map()],
  );
}

/** Every other draw gives all parts of one kind the same value, as both sides of a board have. */
function drawn(list: readonly number[], k: number, n: number): number {
  let state = (k % 2 === 0 ? k : k * 64 + n) * 0x9e3779b1 + 0x7f4a7c15;
  state = Math.imul(state ^ (state >>> 15), state | 1);
  state ^= state + Math.imul(state ^ (state >>> 7), state | 61);
  return list[((((state ^ (state >>> 14)) >>> 0) / 2 ** 32) * list.length) | 0]!;
}

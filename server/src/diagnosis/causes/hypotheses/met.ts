import type { Copper, CopperNode } from '../../../board/copper';
import type { Bench } from '../bench';
import type { Context } from '../context';
import { odds } from '../priors';
import type { Scene } from '../scene';
import type { StagedMeter } from '../staged';
import type { Effect, Hypothesis } from '../types';
import { pulledDown } from './rails';

/** Ω up to which a meter has found what looks like contact, and how far below what the network gives. Common practice, no source. */
const contact = 30;
const below = 0.3;

/**
 * What a meter has met: two nodes it reads as good as joined, which the board has apart. They touch somewhere; named by the places
 * where they come nearest, contacts of one connector or pins of one part. `rest`: the bench at DC.
 */
export function metHypotheses(scene: Scene, bench: Bench, rest: Context): Hypothesis[] {
  const designed = scene.designed(false).values;
  return scene.meters.flatMap(({ meter, slot }): Hypothesis[] => {
    const nodes = [meter.from, meter.to].map((point) => (point === undefined ? undefined : bench.copper.node(point)));
    const [a, b] = nodes;
    if (!a || !b || a === b || !reads(meter, designed[2 * slot]!)) return [];
    const between = nearest(bench.copper, a, b);
    const ohms = meter.kind === 'ohms' ? Math.max(0, meter.value) : 0;
    const effect: Effect = { bridges: [{ between, ohms, ...(ohms > 1 && { spread: 0.1 }) }] };
    const variants = [{ weight: 1, effect: { ...effect, ...pulledDown(rest, effect, a.name, b.name) } }];
    return [{ cause: 'short', at: between, mode: null, prior: odds['met-contact'], variants }];
  });
}

/** Whether a reading is of contact where the network has none. */
function reads({ kind, value }: StagedMeter['meter'], designed: number): boolean {
  if (kind !== 'ohms' && kind !== 'below') return false;
  return value < contact && value < below * designed;
}

/** Points of two nodes on one connector, else on one part, else their names. */
function nearest(copper: Copper, a: CopperNode, b: CopperNode): [string, string] {
  const shared = [...copper.parts.values()]
    .filter((part) => part.fitted)
    .map((part) => [part, a.pins.find((pin) => pin.part === part), b.pins.find((pin) => pin.part === part)] as const)
    .filter(([, from, to]) => from && to)
    .sort(([one], [other]) => Number(other.kind === 'connector') - Number(one.kind === 'connector'));
  const [, from, to] = shared[0] ?? [];
  return [from?.name ?? a.name, to?.name ?? b.name];
}

import type { Context } from './context';
import { type Phasors, type View, wire } from './ports';
import { type Driven, summed } from './sources';
import type { Bridge, Effect } from './types';

/** A DC source as an effect leaves it. */
export interface RestSource extends Driven {
  readonly share: number;
  /** One standard deviation of its volts before the share. */
  readonly sd: number;
}

/** The DC sources of a network under an effect. */
export function sourcesAtRest({ rails }: Context, effect: Effect): RestSource[] {
  const gone = new Set((effect.dead ?? []).filter((dead) => dead.bias).map((dead) => dead.output));
  return rails
    .filter(({ name }) => !gone.has(name))
    .map(({ name, volts, sd }) => {
      const share = (effect.rails ?? []).filter((one) => one.name === name).reduce((by, one) => by * one.share, 1);
      return { name, sd, share, chip: undefined, volts: { re: volts * share, im: 0 } };
    });
}

/** V of every node at rest, before what an effect changes of the network itself. */
export const nodesAtRest = (context: Context, effect: Effect): Phasors =>
  summed(context, sourcesAtRest(context, effect));

/** V across a port at rest under an effect, `nodes` being those of `nodesAtRest`. */
export function restAcross(context: Context, view: View, effect: Effect, nodes: Phasors, port: number): number {
  let volts = view.across(nodes, port).re;
  for (const { between, ohms, volts: own } of effect.bridges ?? []) {
    if (!own) continue;
    const at = context.ports.port(context.node(between[0]), context.node(between[1]));
    // A source behind its ohms is a current into those ohms (Norton).
    if (at !== undefined) volts += (view.across(context.ports.column(at), port).re * own) / Math.max(ohms ?? 0, wire);
  }
  return volts;
}

/** Rounds in which diodes may change what they do under an effect. */
const rounds = 4;

const opened = (effect: Effect, names: readonly string[]): Effect => ({
  ...effect,
  changes: [...(effect.changes ?? []), ...names.map((element) => ({ element, becomes: 'open' as const }))],
  rails: [...(effect.rails ?? []), ...names.map((name) => ({ name, share: 0 }))],
});

/**
 * An effect with what it makes of the diodes: one conducts where the network without it would put it more than its drop forward,
 * and else does not. The same where there are none, or none changes.
 */
export function settled(context: Context, effect: Effect): Effect {
  let now = effect;
  const own = new Set((effect.changes ?? []).map(({ element }) => element));
  const diodes = context.diodes.filter(({ name, breakdown }) => !own.has(name) && breakdown === undefined);
  const turned = new Set<string>();
  for (let round = 0; round < rounds; round++) {
    const wrong = diodes.filter(({ name, a, b, drop }) => {
      const port = context.ports.port(a, b);
      if (port === undefined || turned.has(name)) return false;
      const conducts = context.conducts(name);
      const without = conducts ? opened(now, [name]) : now;
      const volts = restAcross(context, context.view(without), without, nodesAtRest(context, without), port);
      return conducts ? volts < drop : volts > drop;
    });
    if (wrong.length === 0) return now;
    for (const { name } of wrong) turned.add(name);
    const off = wrong.filter(({ name }) => context.conducts(name)).map(({ name }) => name);
    const on = wrong.filter(({ name }) => !context.conducts(name));
    now = {
      ...opened(now, off),
      bridges: [
        ...(now.bridges ?? []),
        ...on.map(({ a, b, ohms, drop }): Bridge => ({ between: [a, b], ohms: ohms ?? 0, volts: drop })),
      ],
    };
  }
  return now;
}

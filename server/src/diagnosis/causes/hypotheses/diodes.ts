import type { Diode } from '../../../circuit/netlist';
import type { Bench } from '../bench';
import type { Context } from '../context';
import { odds } from '../priors';
import { nodesAtRest, restAcross } from '../rest';
import type { Effect, Hypothesis, Variant } from '../types';
import { starved } from './rails';

/** Each diode open, shorted, or the wrong way round. `rest`: the bench at DC. */
export function diodeHypotheses(bench: Bench, rest: Context): Hypothesis[] {
  return rest.diodes.flatMap((diode): Hypothesis[] => {
    const part = bench.copper.parts.get(diode.name);
    // Of a rectifier bridge no diode is a part of its own.
    if (!part) return [];
    const faulty = (cause: Hypothesis['cause'], prior: number, effect: Effect): Hypothesis => {
      const variants: Variant[] = [{ weight: 1, effect: { ...effect, ...starved(rest, effect) } }];
      return { cause, at: [part.designator], mode: null, prior, variants };
    };
    const change = (becomes: 'open' | 'short' | 'reversed'): Effect => ({
      changes: [{ element: diode.name, part, becomes }],
      // What it held while it conducted is gone with it.
      rails: [{ name: diode.name, share: 0 }],
    });
    return [
      faulty('open', odds['open-diode'], change('open')),
      faulty('short', odds['short-diode'], change('short')),
      faulty('polarity-reversed', odds['reversed-diode'], { ...change('reversed'), ...conducting(rest, diode) }),
    ];
  });
}

/** What a diode turned round holds, where the DC across it is then forward. */
function conducting(rest: Context, diode: Diode): Pick<Effect, 'bridges'> {
  const port = rest.ports.port(diode.b, diode.a);
  if (port === undefined) return {};
  const volts = restAcross(rest, rest.view({}), {}, nodesAtRest(rest, {}), port);
  if (volts <= diode.drop) return {};
  return { bridges: [{ between: [diode.b, diode.a], ohms: diode.ohms ?? 0, volts: diode.drop }] };
}

import type { Bench } from '../bench';
import type { Context } from '../context';
import { odds } from '../priors';
import { nodesAtRest } from '../rest';
import type { Effect, Hypothesis, Variant } from '../types';

/** Ω by which a broken output hangs on its rail: a blown transistor, from 0.1 to 1. Common practice, no source. */
const stuckOhms = 0.3;
const stuckSpread = 1.2;

/** Amplifier sections whose output gives nothing, or sticks at a rail. `rest`: the bench at DC. */
export function sectionHypotheses(bench: Bench, rest: Context): Hypothesis[] {
  return bench.sections.map(({ element, point, part }): Hypothesis => {
    const open: Effect = { changes: [{ element, becomes: 'open' }] };
    const stuck = (volts: number, weight: number): Variant => ({
      weight,
      effect: {
        ...open,
        bridges: [{ between: [point, bench.reference], ohms: stuckOhms, volts, spread: stuckSpread }],
      },
      text: `stuck at ${volts === 0 ? 'ground' : `${Number(volts.toPrecision(2))} V`}`,
    });
    const rails = railsAt(bench, rest, part);
    return {
      cause: 'side-dead',
      at: [point],
      mode: null,
      prior: odds['dead-section'],
      variants: [
        { weight: 1 - 0.3 * rails.length, effect: open, text: 'its output hangs on nothing' },
        ...rails.map((volts) => stuck(volts, 0.3)),
      ],
    };
  });
}

/** V of a chip's rails at rest: its highest supply, and its lowest where that is below ground, else ground. */
function railsAt(bench: Bench, rest: Context, designator: string): number[] {
  const nodes = nodesAtRest(rest, {});
  const volts = bench.copper.nodes
    .filter((node) => node.pins.some((pin) => pin.part.designator === designator && pin.spec?.role === 'supply'))
    .flatMap((node) => {
      const port = rest.ports.port(node.name, bench.reference);
      return port === undefined ? [] : [rest.ports.across(nodes, port).re];
    });
  const [high, low] = [Math.max(0, ...volts), Math.min(0, ...volts)];
  return high > 0.5 ? [high, low] : [low];
}

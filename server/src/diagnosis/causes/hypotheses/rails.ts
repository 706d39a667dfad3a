import type { Part } from '../../../board/part';
import { supplyPins } from '../../../board/roles';
import type { VoltageSource } from '../../../circuit/netlist';
import type { Bench } from '../bench';
import type { Context } from '../context';
import { nodesAtRest, restAcross, settled } from '../rest';
import type { Effect } from '../types';

/** The DC sources of a board that are supplies: cells, nets with volts, regulators. */
export function railsOf({ board, elements }: Bench): VoltageSource[] {
  const own = new Set(board.outputs.map(({ name }) => name));
  return elements.flatMap((element) =>
    element.kind === 'voltage' && element.dc && !own.has(element.name) && !element.name.endsWith(' bias')
      ? [element]
      : [],
  );
}

/** A supply that gives nothing, and the chips that are dead without it; where no chip's pin is on it, every one if it is alone. */
export function withoutRail(bench: Bench, rail: VoltageSource): Effect {
  const { board, copper } = bench;
  const node = copper.nodes.find(({ name }) => name === rail.a);
  const on = new Set<Part>((node ? supplyPins(node) : []).map((pin) => pin.part));
  const fed = board.outputs.filter(({ pin }) => on.has(pin.part));
  const dead = fed.length > 0 ? fed : railsOf(bench).length === 1 ? board.outputs : [];
  return { rails: [{ name: rail.name, share: 0 }], dead: dead.map(({ name }) => ({ output: name, bias: true })) };
}

/** Share of its volts below which a chip no longer plays. Common practice, no source. */
const starving = 0.6;

/** Outputs that are silent because an effect leaves their chip without its supply. `rest`: the bench at DC. */
export function starved(rest: Context, done: Effect): Pick<Effect, 'dead'> {
  const { bench } = rest;
  const effect = settled(rest, done);
  const view = rest.view(effect);
  const [now, before] = [nodesAtRest(rest, effect), nodesAtRest(rest, {})];
  const gone = new Set<Part>();
  for (const node of bench.copper.nodes) {
    const fed = supplyPins(node);
    const port = fed.length === 0 ? undefined : rest.ports.port(node.name, bench.reference);
    if (port === undefined) continue;
    const designed = rest.ports.across(before, port).re;
    const left = restAcross(rest, view, effect, now, port);
    if (Math.abs(designed) > 0.5 && Math.abs(left) < starving * Math.abs(designed))
      for (const pin of fed) gone.add(pin.part);
  }
  const dead = bench.board.outputs.filter(({ pin }) => gone.has(pin.part));
  return dead.length === 0 ? {} : { dead: dead.map(({ name }) => ({ output: name, bias: true })) };
}

/** What an effect that joins two nodes does to the supplies: one that lies right across is gone, one that is pulled down starves its chips. */
export function pulledDown(rest: Context, effect: Effect, a: string, b: string): Effect {
  const gone = collapse(rest.bench, a, b);
  return gone.rails ? gone : starved(rest, effect);
}

/** What a short between two nodes does beyond the short itself: a supply across them is gone. */
function collapse(bench: Bench, a: string, b: string): Effect {
  const rail = railsOf(bench).find((one) => (one.a === a && one.b === b) || (one.a === b && one.b === a));
  return rail ? withoutRail(bench, rail) : {};
}

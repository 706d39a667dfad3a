import type { Part } from '../../../board/part';
import { supplyPins } from '../../../board/roles';
import type { VoltageSource } from '../../../circuit/netlist';
import type { Bench } from '../bench';
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

/** What a short between two nodes does beyond the short itself: a supply across them is gone. */
export function collapse(bench: Bench, a: string, b: string): Effect {
  const rail = railsOf(bench).find((one) => (one.a === a && one.b === b) || (one.a === b && one.b === a));
  return rail ? withoutRail(bench, rail) : {};
}

import { endsMet } from '../../board/elements';
import { perCopper } from '../../board/memo';
import { magnitude, real, subtract } from '../complex';
import type { FigureOf } from '../needs';
import type { Element } from '../netlist';
import type { BoardNetwork } from './build';

/** An end of a part that copper has not been followed from yet, while its other end is known. */
interface OpenEnd {
  readonly point: string;
  readonly node: string;
  readonly ohms: number;
}

/** Kinds that hold or load a node at rest. */
const holds = new Set([
  'resistor',
  'inductor',
  'ferrite',
  'fuse',
  'switch',
  'diode',
  'led',
  'zener',
  'tvs',
  'loudspeaker',
]);
/** Ω in place of a value that is not stated, and what stands for all that is no resistor. */
const someOhms = 1.3e3;

/**
 * Ends of two-terminal parts that nothing has been found at, on a board that is not listed whole: wherever they go, they may hold
 * or load the node at the other end.
 */
const openEnds = perCopper((copper): readonly OpenEnd[] =>
  copper.everythingListed
    ? []
    : endsMet(copper).flatMap(({ part, pins, nodes }): OpenEnd[] => {
        const open = nodes.map((node) => node === undefined || (node.points.length === 1 && !node.complete));
        const known = open[0] ? nodes[1] : nodes[0];
        if (open[0] === open[1] || !known || !holds.has(part.kind ?? '')) return [];
        const ohms = (part.kind === 'resistor' ? part.value?.value : undefined) ?? someOhms;
        return [{ point: part.point(pins[open[0] ? 0 : 1]), node: known.name, ohms }];
      }),
);

/** V at which an open end is tried: ground, and a supply. */
const tried = [0, 5];
/** Volts, as a fraction of the figure or in all, by which an open end must move it: less leaves what it says standing (chosen; no source). */
const noticeable = { share: 0.2, volts: 0.1 };

/** The open ends a figure at rest hangs on, each by its point: "R11.1". With `any` the search ends once it is known that there are some. */
export function hangsOnOpenEnds(board: BoardNetwork, figure: FigureOf, any = false): string[] {
  const ends = openEnds(board.copper).filter(({ node }) => board.nodes.has(node));
  if (ends.length === 0) return [];
  const value = (some: readonly OpenEnd[], volts: number) => {
    const made = some.map(
      ({ point, node, ohms }): Element => ({
        kind: 'voltage',
        name: `beyond ${point}`,
        a: node,
        b: board.netlist.reference,
        dc: volts,
        ohms,
      }),
    );
    const found = figure({ ...board.netlist, elements: [...board.netlist.elements, ...made] });
    return typeof found === 'number' ? real(found) : found;
  };
  const base = value([], 0);
  const moves = (some: readonly OpenEnd[]) =>
    tried.some((volts) => {
      const other = value(some, volts);
      if (base === null || other === null) return base !== other;
      return magnitude(subtract(base, other)) > Math.max(noticeable.volts, noticeable.share * magnitude(base));
    });
  const search = (some: readonly OpenEnd[]): string[] => {
    if (!moves(some)) return [];
    if (any || some.length === 1) return [some[0]!.point];
    const half = some.length >> 1;
    return [...search(some.slice(0, half)), ...search(some.slice(half))];
  };
  return search(ends);
}

import { endsMet } from '../../board/elements';
import { perCopper } from '../../board/memo';
import { type Network, network } from '../ac';
import { type Complex, magnitude, real, subtract } from '../complex';
import type { Solved } from '../factor';
import type { FigureOf } from '../needs';
import type { Element, Netlist } from '../netlist';
import type { BoardNetwork } from './build';
import { unsaid } from './unsaid';

/** A node that something may hold of which nobody knows where it leads: what that is, and behind how much. */
export interface OpenEnd {
  /** How a reader is asked for it: "where R11.1 goes". */
  readonly asks: string;
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
        return [{ asks: `where ${part.point(pins[open[0] ? 0 : 1])} goes`, node: known.name, ohms }];
      }),
);

/** V at which an open end is tried: ground, and a supply. */
const tried = [0, 5];
/** Volts, as a fraction of the figure or in all, by which an open end must move it: less leaves what it says standing (chosen; no source). */
const noticeable = { share: 0.2, volts: 0.1 };

/** The board's netlist with some of its open ends led to a voltage. */
const led = (board: BoardNetwork, some: readonly OpenEnd[], volts: number): Netlist => ({
  ...board.netlist,
  elements: [
    ...board.netlist.elements,
    ...some.map(
      ({ asks, node, ohms }): Element => ({
        kind: 'voltage',
        name: asks,
        a: node,
        b: board.netlist.reference,
        dc: volts,
        ohms,
      }),
    ),
  ],
});

const openOn = (board: BoardNetwork): OpenEnd[] =>
  [...openEnds(board.copper), ...unsaid(board)].filter(({ node }) => board.nodes.has(node));

const allLed = new WeakMap<Netlist, readonly Network[]>();

/** The network with all its open ends led to each of the voltages tried; none where there are none. Opened once. */
function networksLed(board: BoardNetwork): readonly Network[] {
  let found = allLed.get(board.netlist);
  if (!found) {
    const ends = openOn(board);
    found = ends.length === 0 ? [] : tried.map((volts) => network(led(board, ends, volts)));
    allLed.set(board.netlist, found);
  }
  return found;
}

/** Whether a figure at rest hangs on where open ends go; less than `floor`, in its own unit, is no change. */
export const movedByOpenEnds = (
  board: BoardNetwork,
  value: number,
  read: (solved: Solved) => number | null,
  floor: number = noticeable.volts,
): boolean => networksLed(board).some((other) => moves(real(value), read(other.dc.solved), floor));

/** What a figure at rest hangs on beyond what copper shows: "where R11.1 goes". */
export function hangsOnOpenEnds(board: BoardNetwork, figure: FigureOf, floor: number = noticeable.volts): string[] {
  const ends = openOn(board);
  if (ends.length === 0) return [];
  const base = figure(board.netlist);
  const search = (some: readonly OpenEnd[]): string[] => {
    if (!tried.some((volts) => moves(base, figure(led(board, some, volts)), floor))) return [];
    if (some.length === 1) return [some[0]!.asks];
    const half = some.length >> 1;
    return [...search(some.slice(0, half)), ...search(some.slice(half))];
  };
  return search(ends);
}

function moves(before: Complex | number | null, after: Complex | number | null, floor: number): boolean {
  if (before === null || after === null) return before !== after;
  const [a, b] = [before, after].map((value) => (typeof value === 'number' ? real(value) : value)) as [
    Complex,
    Complex,
  ];
  return magnitude(subtract(a, b)) > Math.max(floor, noticeable.share * magnitude(a));
}

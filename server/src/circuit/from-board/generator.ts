import type { Stimulus } from '../../board/measured';
import { network } from '../ac';
import type { Sources } from '../assemble';
import type { Element } from '../netlist';
import type { BoardNetwork } from './build';
import type { Programme } from './played';
import { pointOn } from './reference';

/** A board with a generator at it, the chips' own outputs silent. */
export interface Fed {
  readonly board: BoardNetwork;
  /** What the generator drives for a programme, in V RMS at a level of 1 V. */
  sources(programme: Programme): Sources;
}

/**
 * The network with a generator at each place a stimulus names in `into`, behind `ohms` (its `source` unless said); undefined where
 * it names none, or a point that copper has not.
 */
export function withGenerator(board: BoardNetwork, stimulus: Stimulus, ohms = stimulus.source ?? 0): Fed | undefined {
  const places = stimulus.into.map(({ side, points }) => {
    const from = points[0] && board.copper.node(points[0].ref.name);
    const to = points[1] ? board.copper.node(points[1].ref.name) : board.reference;
    if (!from || !to || from === to) return undefined;
    const name = `generator${side === undefined ? '' : ` ${side}`}`;
    const element: Element = { kind: 'voltage', name, a: from.name, b: to.name, ohms };
    return { side, element, points: [points[0]!.ref.name, points[1]?.ref.name ?? pointOn(to)] };
  });
  if (places.length === 0 || places.some((place) => place === undefined)) return undefined;
  const found = places.flatMap((place) => place ?? []);
  const netlist = { ...board.netlist, elements: [...board.netlist.elements, ...found.map(({ element }) => element)] };
  return {
    board: {
      ...board,
      netlist,
      network: network(netlist),
      points: new Map([...board.points, ...found.map(({ element, points }) => [element.name, points] as const)]),
    },
    sources: ({ left, right }) =>
      Object.fromEntries(
        found.map(({ side, element }) => [
          element.name,
          side === 'right' ? right : side === 'left' ? left : left || right,
        ]),
      ),
  };
}

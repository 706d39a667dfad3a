import type { Copper } from '../../../server/src/board/copper';
import { outputs, pathsFrom } from '../../../server/src/board/paths';
import { type BoardNetwork, boardNetwork } from '../../../server/src/circuit/from-board/build';
import {
  type Clipped,
  type Known,
  type PathFigures,
  pathFigures,
} from '../../../server/src/circuit/from-board/figures';
import { restBetween } from '../../../server/src/circuit/from-board/rest';
import { analyseBoard } from '../../harness/memory';

/** A line-output chip: 1 V of full scale behind 50 Ω on a bias of 1.65 V. */
export const player = `pinout: player
package: {style: sop-8, pins: 8}
pins:
  1: {name: VDD, volts: [3.0 V, 3.6 V]}
  2: VSS
  3: {name: OUTL, role: audio-out, channel: left, return: VSS, bias: 1.65 V, full-scale: 1 V, impedance: 50}
  4: {name: OUTR, role: audio-out, channel: right, return: VSS, bias: 1.65 V, full-scale: 1 V, impedance: 50}
`;

/** A capless headphone chip: its common is driven to the outputs' own bias. */
export const capless = `pinout: capless
package: {style: sop-8, pins: 8}
pins:
  1: {name: VDD, volts: [3.0 V, 3.6 V]}
  2: VSS
  3: {name: HPL, role: audio-out, channel: left, return: HPCOM, bias: 1.5 V, full-scale: 0.5 V, impedance: 1}
  4: {name: HPR, role: audio-out, channel: right, return: HPCOM, bias: 1.5 V, full-scale: 0.5 V, impedance: 1}
  5: {name: HPCOM, role: supply-out, bias: 1.5 V}
`;

export interface Bench {
  readonly copper: Copper;
  readonly board: BoardNetwork;
  /** Contacts, else nodes, that some output reaches. */
  readonly ends: readonly string[];
  /** Figures of the way that ends at a contact or net. */
  way(end: string): PathFigures;
  /** V DC at a point against another, or against ground. */
  volts(a: string, b?: string): number | undefined;
  assumed(known: Known | Clipped | null): string[];
}

/** A board of a text, with the pinouts above in reach. */
export async function benchOf(text: string, sheets: Readonly<Record<string, string>> = {}): Promise<Bench> {
  const { board } = await analyseBoard(text, {
    'player.pinout.yaml': player,
    'capless.pinout.yaml': capless,
    ...sheets,
  });
  const copper = board.at();
  const network = boardNetwork(copper)!;
  const paths = outputs(copper).flatMap(({ pin, node }) => pathsFrom(copper, pin, node));
  return {
    copper,
    board: network,
    ends: paths.map((path) => path.contact?.name ?? path.end.name),
    way: (end) => pathFigures(network, paths.find((path) => path.contact?.name === end || path.end.name === end)!)!,
    volts: (a, b) =>
      restBetween(network, copper.node(a)!, b === undefined ? network.reference : copper.node(b)!)?.volts,
    assumed: (known) =>
      known && 'figure' in known
        ? known.figure.basis.filter((fact) => fact.evidence === 'assumed').map((fact) => fact.what)
        : [],
  };
}

/** The number of a figure; a text that says what it needs, where it is not known, or where it clips. */
export function numberOf(known: Known | Clipped | null): number | string {
  if (known === null) return 'none';
  if ('clips' in known) return `clips at ${known.clips.at} from ${known.clips.from.toFixed(2)} dBFS`;
  return 'figure' in known ? known.figure.value : `needs ${known.needs.join(', ')}`;
}

/** What a figure rests on, in words. */
export const restsOn = (known: Known | Clipped | null): string[] =>
  known && 'figure' in known ? known.figure.basis.map((fact) => fact.what) : [];

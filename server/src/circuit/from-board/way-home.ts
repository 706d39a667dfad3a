import type { SignalPath } from '../../board/paths';
import type { Basis } from '../../quantity/figure';
import { magnitude } from '../complex';
import { returnPath } from '../return-path';
import type { BoardNetwork } from './build';
import { groundOf } from './chips';
import { returnOf, toneHertz } from './figures';
import { basisOf } from './rests-on';

/** How the current of an output comes back to it. */
export interface WayHome {
  /** The point it starts at, the parts most of it passes, and the pin it comes back to. */
  readonly from: string;
  readonly through: readonly string[];
  readonly to: string;
  /** "back by J2.sleeve – FB2 – U1.2"; with what of it another way takes: "(83 %)". */
  readonly text: string;
  readonly basis: readonly Basis[];
}

/**
 * The way most of an output's current takes from the common of its contact to its return pin (its chip's ground where the data
 * sheet names none), at 997 Hz, the outputs and loads taken away. Undefined where there is no contact, or nothing joins them.
 */
export function wayHome(board: BoardNetwork, path: SignalPath): WayHome | undefined {
  const { copper } = board;
  const connector = path.contact?.part;
  const back = returnOf(board, path);
  if (!connector || !back || path.carries === 'hot' || path.carries === 'cold') return undefined;
  const contact = connector.contacts.find((one) => copper.nodeOf(connector, one) === back);
  if (contact === undefined) return undefined;
  const returnPin = path.from.spec?.returnPin;
  const stated = returnPin === undefined ? undefined : copper.nodeOf(path.from.part, returnPin);
  const ground = groundOf(copper, path.from.part, board.reference);
  const [to, node] = stated ? [path.from.part.point(returnPin!), stated.name] : [ground.point, ground.node];
  const away = board.netlist.elements
    .filter((element) => element.kind === 'load' || board.outputs.some((output) => output.name === element.name))
    .map((element) => element.name);
  const branches = returnPath(board.network.at(toneHertz), back.name, node, away);
  if (!branches) return undefined;
  const from = connector.point(contact);
  const through = branches.map((branch) => branch.name);
  const least = Math.min(1, ...branches.map((branch) => magnitude(branch.share)));
  return {
    from,
    through,
    to,
    text: `back by ${[from, ...through, to].join(' – ')}${least < 0.995 ? ` (${Math.round(least * 100)} %)` : ''}`,
    get basis() {
      return basisOf(board, through, [from, to]);
    },
  };
}

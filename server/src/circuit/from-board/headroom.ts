import type { Sources } from '../assemble';
import { magnitude } from '../complex';
import type { Solved } from '../factor';
import type { BoardNetwork } from './build';
import type { Stage } from './chips';
import type { Read } from './rests-on';
import { restsOnElements } from './rests-on';
import { settledRest } from './settled';

/** A stage whose output cannot be where the linear network would have it: its supplies hold it, in V against the reference. */
export interface Railed {
  readonly stage: Stage;
  readonly low: number;
  readonly high: number;
  /** Of the swing asked for, what fits: 1 and more is no clipping; 0 where it rests at a supply. */
  readonly fits: number;
}

/** V by which a stage may miss its supplies through rounding. */
const slack = 1e-3;

/**
 * V between which a chip's supply and ground pins lie at rest, each net as far out as it is stated; undefined where one of them is
 * not found yet or not known, or nothing lies between. What a chip makes for itself and brings out (a charge pump, a bias) counts
 * along: never is a stage held narrower than it may be.
 */
function railsOf(board: BoardNetwork, { part }: Stage): { readonly low: number; readonly high: number } | undefined {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { key, role } of part.pinout?.pins.values() ?? []) {
    if (role !== 'supply' && role !== 'supply-out' && role !== 'ground') continue;
    const node = board.copper.nodeOf(part, key);
    const volts = node && settledRest(board, (solved) => solved.solve().between(node.name, board.reference.name));
    if (node === undefined || volts === undefined) {
      if (role === 'supply-out' || key === 'EP') continue;
      return undefined;
    }
    const stated = node.nets.flatMap((net) => (net.volts ? [net.volts.min, net.volts.max] : []));
    low = Math.min(low, volts, ...stated);
    high = Math.max(high, volts, ...stated);
  }
  return high - low > slack ? { low, high } : undefined;
}

const restOf = (board: BoardNetwork, stage: Stage) =>
  settledRest(board, (solved) => solved.solve().between(stage.node, board.reference.name));

/** A stage with known supplies, and where it would rest between them. */
interface Standing extends Omit<Railed, 'fits'> {
  readonly rest: number;
}

const known = new WeakMap<BoardNetwork['netlist'], readonly Standing[]>();

/** Worked out once for a network. */
function standing(board: BoardNetwork): readonly Standing[] {
  let found = known.get(board.netlist);
  if (!found) {
    found = board.stages.flatMap((stage) => {
      const rails = railsOf(board, stage);
      const rest = rails && restOf(board, stage);
      return rails && rest !== undefined ? [{ stage, ...rails, rest }] : [];
    });
    known.set(board.netlist, found);
  }
  return found;
}

/** Stages that would rest beyond their supplies. */
export const railedAtRest = (board: BoardNetwork): Railed[] =>
  standing(board)
    .filter(({ rest, low, high }) => rest < low - slack || rest > high + slack)
    .map((one) => ({ ...one, fits: 0 }));

/** Whether a figure hangs on a stage that rests beyond its supplies: then the network's word on it is worth nothing. */
export function hangsOnRailed(board: BoardNetwork, solved: Solved, read: Read): boolean {
  const railed = railedAtRest(board);
  if (railed.length === 0) return false;
  const rests = new Set(restsOnElements(solved, read));
  return railed.some(({ stage }) => rests.has(stage.element));
}

/** The stage that cuts most off a sine of so many volts RMS at the sources, among those `which` names; undefined where all fits. */
export function clippedBy(
  board: BoardNetwork,
  solved: Solved,
  sources: Sources,
  which: (stage: Stage) => boolean = () => true,
): Railed | undefined {
  let worst: Railed | undefined;
  const solution = solved.solve(sources);
  for (const one of standing(board)) {
    if (!which(one.stage)) continue;
    const volts = solution.between(one.stage.node, board.reference.name);
    const peak = volts === null ? 0 : Math.SQRT2 * magnitude(volts);
    const room = Math.max(0, Math.min(one.high - one.rest, one.rest - one.low));
    const fits = peak === 0 ? Number.POSITIVE_INFINITY : room / peak;
    if (fits < 1 - 1e-9 && fits < (worst?.fits ?? 1)) worst = { ...one, fits };
  }
  return worst;
}

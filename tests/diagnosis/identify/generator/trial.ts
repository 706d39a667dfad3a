import { type Offered, type Posterior, posterior } from '../../../../server/src/diagnosis/identify/posterior';
import { Ideal } from './ideal';
import type { Board, Chip, Family, Shown } from './world';
import { World } from './world';

/** One board at one number of pins seen: what either observer answers, and how sure ours is. */
export interface Outcome {
  readonly seen: number;
  readonly stratum: 'as drawn' | 'turned' | 'absent';
  /** 1 right, 0 wrong; a fraction where the right one is among so many that are equally likely. */
  readonly ours: number;
  readonly ideal: number;
  readonly idealSure: number;
  /** Our probability of our answer. */
  readonly sure: number;
}

/** Share of boards whose chip is not among the candidates: what the ideal observer goes by, and what is drawn for calibration. */
export const absentShare = 0.1;
export const pinsSeen = [6, 8, 12, 20] as const;

const equal = (a: number, b: number) => Math.abs(a - b) <= 1e-9 * Math.max(a, b);

export const offers = (candidates: readonly Chip[]): Offered[] =>
  candidates.map((chip) => ({ pinout: chip.pinout, weight: 1 }));

/** How right our answer is: the pinout and the whole counting, or "none of these". Ties share. */
export function oursRight(found: Posterior, board: Board): { right: number; sure: number } {
  const most = found.hypotheses[0]!.probability;
  if (found.none > most) return { right: board.truth ? 0 : 1, sure: found.none };
  const top = found.hypotheses.filter((one) => equal(one.probability, most));
  const hits = top.filter(
    (one) =>
      one.pinout === board.truth?.pinout && board.way.to.every((to, written) => one.counting.sheet[written] === to),
  );
  return { right: hits.length / top.length, sure: most };
}

function idealRight(ideal: Ideal, board: Board, shown: readonly Shown[]): { right: number; sure: number } {
  const found = ideal.posterior(board, shown);
  const most = found.of.reduce((top, one) => Math.max(top, one.probability), 0);
  if (found.none > most) return { right: board.truth ? 0 : 1, sure: found.none };
  const top = found.of.filter((one) => equal(one.probability, most));
  const hits = top.filter((one) => one.chip === board.truth && one.way === board.way);
  return { right: hits.length / top.length, sure: most };
}

/** Both observers on so many boards of a family, at each number of pins seen that the chip has. */
export function trial(family: Family, seed: number, boards: Record<Outcome['stratum'], number>): Outcome[] {
  const world = new World(family, seed);
  const ideal = new Ideal(family, absentShare);
  const outcomes: Outcome[] = [];
  for (const stratum of ['as drawn', 'turned', 'absent'] as const)
    for (let k = 0; k < boards[stratum]; k++) {
      const absent = stratum === 'absent' || (stratum === 'as drawn' && k % (1 / absentShare) === 0);
      const board = world.board({ absent, turned: stratum === 'turned' });
      const given = offers(board.candidates);
      for (const seen of pinsSeen) {
        if (board.shown.length < seen) continue;
        const shown = board.shown.slice(0, seen);
        const ours = oursRight(posterior({ seen: shown.map((one) => one.seen) }, given), board);
        const best = idealRight(ideal, board, shown);
        outcomes.push({
          seen,
          stratum,
          ours: ours.right,
          ideal: best.right,
          idealSure: best.sure,
          sure: ours.sure,
        });
      }
    }
  return outcomes;
}

export const mean = (values: readonly number[]): number =>
  values.length === 0 ? Number.NaN : values.reduce((sum, value) => sum + value, 0) / values.length;

/** Ten bins of probability: how many, how sure on average, how often right. And the expected calibration error. */
export function reliability(outcomes: readonly Outcome[]): { rows: string[]; error: number } {
  const rows: string[] = [];
  let error = 0;
  for (let bin = 0; bin < 10; bin++) {
    const inside = outcomes.filter(({ sure }) => Math.min(9, Math.floor(sure * 10)) === bin);
    if (inside.length === 0) continue;
    const sure = mean(inside.map((one) => one.sure));
    const right = mean(inside.map((one) => one.ours));
    error += (Math.abs(sure - right) * inside.length) / outcomes.length;
    rows.push(
      `  ${bin / 10}–${(bin + 1) / 10}  ${String(inside.length).padStart(5)}  sure ${sure.toFixed(3)}  right ${right.toFixed(3)}`,
    );
  }
  return { rows, error };
}

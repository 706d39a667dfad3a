import { type Offered, type Posterior, posterior } from '../../../../server/src/diagnosis/identify/posterior';
import { type Belief, Ideal } from './ideal';
import type { Board, Chip, Family } from './world';
import { World } from './world';

/** One board at one number of pins seen: what either observer answers, and how sure it is. */
export interface Outcome {
  readonly seen: number;
  readonly stratum: 'as drawn' | 'turned' | 'absent';
  /** How often this bench is wrong. */
  readonly wrong: number;
  readonly ours: Answer;
  /** Who knows how often the benches of the family are wrong. */
  readonly ideal: Answer;
  /** Who is told how often this very bench is. */
  readonly told: Answer;
}

export interface Answer {
  /** 1 right, 0 wrong; a fraction where the right one is among so many that are equally likely. */
  readonly right: number;
  /** The observer's probability of its answer. */
  readonly sure: number;
}

/** Share of boards whose chip is not among the candidates: what the ideal observer goes by, and what is drawn for calibration. */
export const absentShare = 0.1;
export const pinsSeen = [6, 8, 12, 20] as const;

const equal = (a: number, b: number) => Math.abs(a - b) <= 1e-9 * Math.max(a, b);

export const offers = (candidates: readonly Chip[]): Offered[] =>
  candidates.map((chip) => ({ pinout: chip.pinout, weight: 1 }));

/** How right our answer is: the pinout and the whole counting, or "none of these". Ties share. */
export function oursRight(found: Posterior, board: Board): Answer {
  const most = found.hypotheses[0]!.probability;
  if (found.none > most) return { right: board.truth ? 0 : 1, sure: found.none };
  const top = found.hypotheses.filter((one) => equal(one.probability, most));
  const hits = top.filter(
    (one) =>
      one.pinout === board.truth?.pinout && board.way.to.every((to, written) => one.counting.sheet[written] === to),
  );
  return { right: hits.length / top.length, sure: most };
}

function idealRight(found: Belief, board: Board): Answer {
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
      const shown = board.shown.slice(0, pinsSeen.at(-1));
      const weighed = ideal.weigh(board, shown);
      for (const seen of pinsSeen) {
        if (shown.length < seen) continue;
        const few = weighed.slice(0, seen);
        const best = idealRight(ideal.posterior(board, few), board);
        outcomes.push({
          seen,
          stratum,
          wrong: board.wrong,
          ours: oursRight(posterior({ seen: shown.slice(0, seen).map((one) => one.seen) }, given), board),
          ideal: best,
          told: family.wrong.length === 1 ? best : idealRight(ideal.posterior(board, few, [board.wrong]), board),
        });
      }
    }
  return outcomes;
}

export const mean = (values: readonly number[]): number =>
  values.length === 0 ? Number.NaN : values.reduce((sum, value) => sum + value, 0) / values.length;

/** Points by which the one is right more often than the other on the same boards, and the standard error of that. */
export function behind(pairs: readonly (readonly [better: Answer, other: Answer])[]): {
  points: number;
  error: number;
} {
  const differences = pairs.map(([better, other]) => 100 * (better.right - other.right));
  const points = mean(differences);
  const variance = mean(differences.map((each) => (each - points) ** 2));
  return { points, error: Math.sqrt(variance / differences.length) };
}

/** Ten bins of probability: how many, how sure on average, how often right. And the expected calibration error. */
export function reliability(answers: readonly Answer[]): { rows: string[]; error: number } {
  const rows: string[] = [];
  let error = 0;
  for (let bin = 0; bin < 10; bin++) {
    const inside = answers.filter(({ sure }) => Math.min(9, Math.floor(sure * 10)) === bin);
    if (inside.length === 0) continue;
    const sure = mean(inside.map((one) => one.sure));
    const right = mean(inside.map((one) => one.right));
    error += (Math.abs(sure - right) * inside.length) / answers.length;
    rows.push(
      `  ${bin / 10}–${(bin + 1) / 10}  ${String(inside.length).padStart(5)}  sure ${sure.toFixed(3)}  right ${right.toFixed(3)}`,
    );
  }
  return { rows, error };
}

import type { Board, Chip, Family, Shown, Way } from './world';
import { chipShares, dutyShares, sides, supplies } from './world';

/** What is shown of one pin, as the ideal observer weighs it. */
export interface Weighed {
  readonly written: number;
  /** P(shown | a pin of each duty, no slip), by the family's duties in order. */
  readonly clean: Float64Array;
  /** P(shown | a slip), which shows what some pin of some chip shows. */
  readonly slip: number;
  /** P(shown | a pin of a chip that is no candidate, no slip). */
  readonly unknown: number;
}

/** What the ideal observer makes of what is shown. */
export interface Belief {
  readonly of: readonly { readonly chip: Chip; readonly way: Way; readonly probability: number }[];
  readonly none: number;
}

/**
 * The ideal observer: Bayes' rule with the generator's own likelihoods, error rates and priors. Nobody who sees the same can be right
 * more often. A chip that is no candidate is to it a draw of independent pins, as many as the candidates have.
 */
export class Ideal {
  private readonly leads = new Map<string, ReadonlyMap<string, number>>();
  private readonly shares: ReadonlyMap<string, number>;
  private readonly names: readonly string[];
  private readonly index: ReadonlyMap<string, number>;

  constructor(
    private readonly family: Family,
    /** How often the true chip is not among the candidates. */
    private readonly absent: number,
  ) {
    for (const [name, duty] of Object.entries(family.duties)) {
      const total = duty.leads.reduce((sum, [, weight]) => sum + weight, 0);
      this.leads.set(name, new Map(duty.leads.map(([kind, weight]) => [kind, weight / total])));
    }
    this.shares = dutyShares(family);
    this.names = Object.keys(family.duties);
    this.index = new Map(this.names.map((name, at) => [name, at]));
  }

  /** P(shown | a pin of this duty, no slip). */
  private clean(shown: Shown, name: string): number {
    const duty = this.family.duties[name]!;
    if (shown.dc !== undefined) {
      const total = duty.dc.reduce((sum, [, , weight]) => sum + weight, 0);
      return duty.dc.reduce(
        (sum, [mean, sd, weight]) =>
          sum + ((weight / total) * Math.exp(-(((shown.dc! - mean) / sd) ** 2) / 2)) / (sd * Math.sqrt(2 * Math.PI)),
        0,
      );
    }
    const { kind, side, rail } = shown.lead!;
    let probability = this.leads.get(name)!.get(kind) ?? 0;
    const of = <T>(weighted: readonly (readonly [T, number])[], wanted: T) =>
      weighted.find(([value]) => value === wanted)![1] / weighted.reduce((sum, [, weight]) => sum + weight, 0);
    if (side) probability *= of(sides(duty), side);
    if (kind === 'supply') probability *= rail === undefined ? 0.4 : 0.6 * of(supplies(duty), rail);
    return probability;
  }

  /** P(shown | a pin of a duty drawn by these shares, no slip). */
  private marginal(shown: Shown, shares: ReadonlyMap<string, number>): number {
    let sum = 0;
    for (const [name, share] of shares) sum += share * this.clean(shown, name);
    return sum;
  }

  /** What is shown of a board, weighed once for all that follows. */
  weigh(board: Pick<Board, 'candidates'>, shown: readonly Shown[]): Weighed[] {
    const others = chipShares(this.family, board.candidates[0]!.pins.length);
    return shown.map((each) => ({
      written: each.written,
      clean: Float64Array.from(this.names, (name) => this.clean(each, name)),
      slip: this.marginal(each, this.shares),
      unknown: this.marginal(each, others),
    }));
  }

  /**
   * The posterior over (candidate, way), and that it is none of them.
   * @param rates how often the bench may be wrong, equally likely; who is told which bench it was gives one
   */
  posterior(
    board: Pick<Board, 'candidates' | 'ways'>,
    shown: readonly Weighed[],
    rates: readonly number[] = this.family.wrong,
  ): Belief {
    const log = (value: number, slip: number, wrong: number) => Math.log((1 - wrong) * value + wrong * slip);
    const logs = rates.map((wrong) => shown.map(({ clean, slip }) => clean.map((value) => log(value, slip, wrong))));
    const noneScore =
      Math.log(this.absent) +
      logMean(rates.map((wrong) => shown.reduce((sum, { unknown, slip }) => sum + log(unknown, slip, wrong), 0)));
    const scored = board.candidates.flatMap((chip) => {
      const duties = Int32Array.from(chip.pins, (name) => this.index.get(name)!);
      return board.ways.map((way) => {
        const under = shown.map((each) => duties[way.to[each.written]!]!);
        const sums = logs.map((rows) => under.reduce((sum, duty, at) => sum + rows[at]![duty]!, 0));
        const prior = ((1 - this.absent) * way.prior) / board.candidates.length;
        return { chip, way, score: Math.log(prior) + logMean(sums) };
      });
    });
    const top = scored.reduce((most, each) => Math.max(most, each.score), noneScore);
    const total = scored.reduce((sum, each) => sum + Math.exp(each.score - top), Math.exp(noneScore - top));
    return {
      of: scored.map(({ chip, way, score }) => ({ chip, way, probability: Math.exp(score - top) / total })),
      none: Math.exp(noneScore - top) / total,
    };
  }
}

/** The logarithm of the mean of what these are logarithms of. */
function logMean(logs: readonly number[]): number {
  const top = Math.max(...logs);
  return top + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - top), 0) / logs.length);
}

import type { Board, Chip, Family, Shown, Way } from './world';
import { dutyShares, sides, supplies } from './world';

/**
 * The ideal observer: Bayes' rule with the generator's own likelihoods, error rate and priors. Nobody who sees the same can be right
 * more often. A chip that is no candidate is to it a draw of independent pins.
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

  /** P(shown | any pin of any chip). */
  private marginal(shown: Shown): number {
    let sum = 0;
    for (const [name, share] of this.shares) sum += share * this.clean(shown, name);
    return sum;
  }

  /** The posterior over (candidate, way), and that it is none of them. */
  posterior(
    board: Pick<Board, 'candidates' | 'ways'>,
    shown: readonly Shown[],
  ): { of: { chip: Chip; way: Way; probability: number }[]; none: number } {
    // A slip shows what some pin of some chip shows.
    const any = shown.map((each) => this.marginal(each));
    const log = shown.map((each, at) => {
      const slip = this.family.wrong * any[at]!;
      return Float64Array.from(this.names, (name) => Math.log((1 - this.family.wrong) * this.clean(each, name) + slip));
    });
    const noneScore = any.reduce((sum, each) => sum + Math.log(each), Math.log(this.absent));
    const scored = board.candidates.flatMap((chip) => {
      const duties = Int32Array.from(chip.pins, (name) => this.index.get(name)!);
      return board.ways.map((way) => {
        let score = Math.log(((1 - this.absent) * way.prior) / board.candidates.length);
        for (let at = 0; at < shown.length; at++) score += log[at]![duties[way.to[shown[at]!.written]!]!]!;
        return { chip, way, score };
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

import { logSum } from './gauss';
import { asDesigned } from './hypotheses/all';
import { type Fit, Likelihood } from './likelihood';
import { floors, odds, secondFault } from './priors';
import type { Scene } from './scene';
import type { Prediction } from './staged';
import type { Effect, Hypothesis, Variant } from './types';

/** A variant of a hypothesis, and how it fits. */
export interface Best {
  readonly variant: Variant;
  readonly fit: Fit;
  readonly prediction: Prediction;
}

/** A hypothesis held against the measurements. */
export interface Weighed {
  readonly hypothesis: Hypothesis;
  /** ln of prior odds times likelihood, its variants integrated. */
  readonly log: number;
  /** The variant that fits best, and how; null for what is not predicted at all. */
  readonly best: Best | null;
  /** The same for each scene by itself, with its share of the likelihood: they add up to one. Empty where `best` is null. */
  readonly scenes: readonly { readonly scene: Scene; readonly share: number; readonly best: Best }[];
}

/** Called now and then in long work; true stops it. */
export type Stop = () => boolean;

/** Weighs hypotheses on one or more scenes: more than one where values are unknown, each scene with its own draw of them. */
export class Weighing {
  readonly likelihoods: readonly Likelihood[];
  private readonly designed: readonly { readonly prediction: Prediction; readonly fit: Fit }[];
  private readonly shares: readonly number[];

  constructor(readonly scenes: readonly Scene[]) {
    this.likelihoods = scenes.map((scene) => new Likelihood(scene));
    this.designed = this.likelihoods.map((likelihood) => {
      const prediction = likelihood.scene.designed();
      return { prediction, fit: likelihood.fit(prediction) };
    });
    this.shares = scenes.map(() => Math.log(1 / scenes.length));
  }

  weigh(hypothesis: Hypothesis): Weighed {
    const found = this.likelihoods.map((likelihood, s) => {
      let best: Best | undefined;
      const logs = hypothesis.variants.map((variant) => {
        const { prediction, fit } = this.one(s, likelihood, variant.effect);
        if (!best || fit.log + Math.log(variant.weight) > best.fit.log + Math.log(best.variant.weight))
          best = { variant, fit, prediction };
        return fit.log + Math.log(variant.weight);
      });
      return { scene: likelihood.scene, best: best!, log: logSum(logs) + this.shares[s]! };
    });
    const log = logSum(found.map((one) => one.log));
    const scenes = found.map(({ scene, best, log: own }) => ({ scene, best, share: Math.exp(own - log) }));
    const { best } = scenes.reduce((most, one) => (one.share > most.share ? one : most));
    return { hypothesis, log: Math.log(hypothesis.prior) + log, best, scenes };
  }

  private one(s: number, likelihood: Likelihood, effect: Effect): { prediction: Prediction; fit: Fit } {
    const delay = delayOf(effect);
    const values = likelihood.scene.predict(effect, false);
    const designed = this.designed[s]!;
    // What nothing measured can see is not worked out again.
    if (values === designed.prediction || (delay === 0 && alike(values, designed.prediction, likelihood.scene.signals)))
      return designed;
    const miss = belied(values.values, effect, likelihood) ? Number.POSITIVE_INFINITY : likelihood.miss(values);
    if (miss > outOfQuestion) return { prediction: values, fit: givenUp(miss) };
    const prediction = likelihood.scene.predict(effect);
    return { prediction, fit: likelihood.fit(prediction, delay) };
  }

  /**
   * χ² by which a hypothesis misses another's noise-free figures: how well they could be told apart. Where values are unknown: on
   * average over the scenes that the other leaves likely, and in each by the scene that serves the hypothesis better, the same or
   * its best; nobody knows that it is not that one.
   */
  apart(from: Weighed, { best, scenes }: Weighed): number {
    if (!best || !from.best) return Number.POSITIVE_INFINITY;
    let sum = 0;
    let total = 0;
    for (const [s, { best: other, share }] of from.scenes.entries()) {
      if (share < unlikely) continue;
      const likelihood = this.likelihoods[s]!;
      const off = (one: Best) => likelihood.fit(one.prediction, delayOf(one.variant.effect), other.fit.fitted).square;
      const own = scenes[s]!.best;
      const square = own === best ? off(own) : Math.min(off(own), off(best));
      sum += share * square;
      total += share;
    }
    return total > 0 ? sum / total : Number.POSITIVE_INFINITY;
  }

  unexplained(): Weighed {
    const log = logSum(this.likelihoods.map((likelihood, s) => likelihood.unexplained() + this.shares[s]!));
    return { hypothesis: unexplained, log: Math.log(odds.unexplained) + log, best: null, scenes: [] };
  }
}

/** Share of a scene below which it is passed over where causes are compared. */
const unlikely = 0.02;

/** Coarse χ² from which a hypothesis is out of the question. */
const outOfQuestion = 30;

/** ln by which the very figure that a wrong scale is to explain may still be off: four standard deviations of all that moves a level. */
const ownFigure = 0.5;

/** Whether a capture said to be wrongly scaled does not show such a scale: then there is nothing that speaks for it. */
function belied(values: Float64Array, { probing }: Effect, { scene, seen }: Likelihood): boolean {
  return (probing ?? []).some(({ capture, factor, channel, spread = 0 }) =>
    scene.takes.some(({ take, gain, first }) => {
      if (factor === undefined || take.capture !== capture || gain.sd >= 1) return false;
      return take.channels.some(({ sd }, k) => {
        if ((channel !== undefined && channel !== k) || !Number.isFinite(sd.along)) return false;
        const at = 2 * (first + k);
        const wanted = Math.hypot(values[at]!, values[at + 1]!);
        const shown = Math.hypot(seen.values[at]!, seen.values[at + 1]!);
        const off = Math.abs(wanted - shown) - 20 * floors.quiet - 4 * sd.along;
        return off > (1 - Math.exp(-ownFigure - 2 * spread)) * Math.max(wanted, shown);
      });
    }),
  );
}

/** What stands for a fit that was not worth working out: below all that were, in the order of how badly they miss. */
const givenUp = (miss: number): Fit => ({
  log: -1e5 - miss,
  square: Number.POSITIVE_INFINITY,
  off: new Map(),
  fitted: { values: new Float64Array(0), correlations: [], delays: [] },
});

const unexplained: Hypothesis = { ...asDesigned, cause: 'unexplained', prior: odds.unexplained };

/** s by which the second channel is late, the first being left. */
export const delayOf = (effect: Effect): number =>
  (effect.delays ?? []).reduce((sum, { side, seconds }) => sum + (side === 'right' ? seconds : -seconds), 0);

/** Whether two predictions are one: every figure to a ten-thousandth, or to what is nothing beside the loudest of its kind. */
function alike(a: Prediction, b: Prediction, signals: number): boolean {
  let loudest = 0;
  for (let k = 0; k < 2 * signals; k++) loudest = Math.max(loudest, Math.abs(b.values[k]!));
  return (
    a.values.every((value, k) => {
      const still = k < 2 * signals ? 1e-5 * loudest : 1e-6;
      return Math.abs(value - b.values[k]!) <= Math.max(still, 1e-4 * Math.abs(b.values[k]!));
    }) &&
    a.correlations.every((rho, t) => Math.abs((rho ?? 2) - (b.correlations[t] ?? 2)) < 1e-4) &&
    a.ranges.every((range, t) =>
      [0, 1].every((end) => Math.abs((range?.[end] ?? 2) - (b.ranges[t]?.[end] ?? 2)) < 1e-4),
    )
  );
}

/** Two effects at once. */
export function together(a: Effect, b: Effect): Effect {
  const without = a.without ?? b.without;
  const joined = <K extends keyof Effect>(key: K): readonly unknown[] => [
    ...((a[key] as readonly unknown[] | undefined) ?? []),
    ...((b[key] as readonly unknown[] | undefined) ?? []),
  ];
  return {
    changes: joined('changes') as Effect['changes'] & object,
    bridges: joined('bridges') as Effect['bridges'] & object,
    modes: joined('modes') as Effect['modes'] & object,
    flips: joined('flips') as Effect['flips'] & object,
    dead: joined('dead') as Effect['dead'] & object,
    delays: joined('delays') as Effect['delays'] & object,
    quieter: joined('quieter') as Effect['quieter'] & object,
    echoes: joined('echoes') as Effect['echoes'] & object,
    rails: joined('rails') as Effect['rails'] & object,
    probing: joined('probing') as Effect['probing'] & object,
    ...((a.exchanged ?? false) !== (b.exchanged ?? false) && { exchanged: true }),
    ...(without && { without }),
  };
}

/** The best singles that pairs are grown from, and how much of what they leave must be left before pairs are worth it. */
const seeds = 6;
const misfit = 3;
const mostPairs = 1500;

/**
 * Weighs every single hypothesis; where none of them fits, pairs of the best with every other, best first. What no pair explains
 * stays with `unexplained`.
 */
export function search(weighing: Weighing, hypotheses: readonly Hypothesis[], stop: Stop = () => false): Weighed[] {
  const singles: Weighed[] = [];
  for (const one of hypotheses) {
    if (stop()) break;
    singles.push(weighing.weigh(one));
  }
  const none = weighing.unexplained();
  const all = [...singles, none];
  const sorted = [...singles].sort((a, b) => b.log - a.log);
  const figures = weighing.likelihoods[0]!.scene.slots;
  const best = sorted[0];
  if (!best?.best || figures === 0) return all;
  // All figures together well beyond chance, or no better than nothing said at all.
  const free = 2 * figures;
  const fits = best.best.fit.square < free + misfit * Math.sqrt(2 * free) && best.log > none.log;
  if (fits && ![...best.best.fit.off.values()].some((off) => off > 16)) return all;
  const fromBest = sorted.filter((one) => one.hypothesis.cause !== 'as-designed').slice(0, seeds);
  const others = sorted.filter((one) => one.hypothesis.cause !== 'as-designed' && !sameAsDesigned(one, singles[0]!));
  let tried = 0;
  for (const [k, first] of fromBest.entries())
    for (const second of others) {
      if (fromBest.slice(0, k + 1).includes(second) || tried >= mostPairs || stop()) continue;
      if (
        first.hypothesis.at.join() === second.hypothesis.at.join() &&
        first.hypothesis.cause === second.hypothesis.cause
      )
        continue;
      tried++;
      const weighed = weighing.weigh(pair(first, second));
      if (weighed.log > best.log - 8) all.push(weighed);
    }
  return all;
}

const sameAsDesigned = (one: Weighed, designed: Weighed) => one.best?.fit === designed.best?.fit;

/** Both at once: the first with its variants, the second in the two forms of it that fit best by itself. */
function pair(first: Weighed, second: Weighed): Hypothesis {
  const a = first.hypothesis;
  const b = second.hypothesis;
  const few = (hypothesis: Hypothesis, best: Weighed['best']) =>
    hypothesis.variants.length <= 3 || !best ? hypothesis.variants : [{ ...best.variant, weight: 1 }];
  return {
    cause: a.cause,
    at: a.at,
    mode: a.mode,
    prior: a.prior * b.prior * secondFault,
    of: [a, b],
    variants: few(a, first.best).flatMap((one) =>
      few(b, second.best).map((two) => ({
        weight: one.weight * two.weight,
        effect: together(one.effect, two.effect),
        ...(one.text !== undefined && { text: one.text }),
      })),
    ),
  };
}

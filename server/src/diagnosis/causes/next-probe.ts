import type { Bench } from './bench';
import { type Candidate, candidates } from './candidates';
import type { Ranked } from './groups';
import { floors, overRange } from './priors';
import type { Scene } from './scene';
import type { Stop } from './search';
import type { Measured } from './takes';
import type { NextProbe } from './types';

/** Outcomes looked at: of so many causes, each in so many scenes; and proposals told. */
const mostCauses = 30;
const mostOutcomes = 60;
const mostTold = 6;
/** Bits below which a measurement is not worth naming. */
const worthwhile = 0.02;

/** What a cause would show in one scene: what every candidate would read. */
interface Outcome {
  readonly cause: number;
  readonly share: number;
  readonly values: Float64Array;
}

/**
 * What would be measured next, best first: expected information for its effort, and what each outcome would mean. Where values are
 * unknown, over the scenes that each cause leaves likely.
 */
export function nextProbes(
  scene: Scene,
  bench: Bench,
  causes: readonly Ranked[],
  tell: (cause: Ranked) => string,
  stop: Stop = () => false,
): NextProbe[] {
  const known = causes.filter((cause) => cause.best !== null).slice(0, mostCauses);
  if (known.length < 2 || stop()) return [];
  const wanted = candidates(bench, scene.measured);
  const { asked, outcomes } = foreseen(known, {
    takes: wanted.flatMap(({ take }) => take ?? []),
    metered: wanted.flatMap(({ meter }) => meter ?? []),
    unused: [],
  });
  if (!asked) return [];
  const share = outcomes.map((one) => one.share);
  const of = outcomes.map(({ cause }) => cause);
  const found: (NextProbe & { readonly order: number })[] = [];
  const between = outcomes.map(() => new Float64Array(outcomes.length));
  for (const [order, candidate] of wanted.entries()) {
    if (stop()) return [];
    const apart = separation(asked, candidate);
    if (!apart) continue;
    for (let i = 0; i < outcomes.length; i++)
      for (let j = 0; j < i; j++) {
        between[i]![j] = apart(outcomes[i]!.values, outcomes[j]!.values);
        between[j]![i] = between[i]![j]!;
      }
    if (atMost(share, between) < worthwhile) continue;
    const gain = information(share, between, of);
    if (gain < worthwhile) continue;
    const { probe, stimulus, plays, instrument, effort } = candidate;
    const told = outcomesOf(asked, candidate, outcomes, between, (one) => tell(known[one.cause]!));
    found.push({ probe, stimulus, plays, instrument, gain, effort, outcomes: told, order });
  }
  return found
    .sort((a, b) => b.gain / b.effort - a.gain / a.effort || a.order - b.order)
    .slice(0, mostTold)
    .map(({ order: _, ...told }) => told);
}

/** What the causes would show of some measurements, each in the scenes that it leaves likely; likeliest first. */
function foreseen(known: readonly Ranked[], measured: Measured): { asked: Scene | undefined; outcomes: Outcome[] } {
  const asking = new Map<Scene, Scene>();
  const likely = known
    .flatMap(({ probability, scenes }, cause) =>
      scenes.map(({ scene, share, best }) => ({ cause, scene, best, share: share * probability })),
    )
    .sort((a, b) => b.share - a.share || a.cause - b.cause)
    .slice(0, mostOutcomes);
  const total = likely.reduce((sum, { share }) => sum + share, 0);
  if (!(total > 0)) return { asked: undefined, outcomes: [] };
  const outcomes = likely.map(({ cause, scene, best, share }): Outcome => {
    const there = asking.get(scene) ?? scene.asking(measured);
    asking.set(scene, there);
    return { cause, share: share / total, values: there.predict(best.variant.effect, false).values };
  });
  return { asked: asking.values().next().value, outcomes };
}

/**
 * Bits that a measurement is expected to give about which cause it is: the lower bound of Kolchinsky and Tracey (Entropy 19, 2017,
 * 361; from memory) for a mixture of Gaussians, with the Bhattacharyya distance d²/8 of two of equal spread. Where a cause has
 * several outcomes (`of`: whose each is), what tells those apart from one another counts for nothing.
 */
export function information(
  share: readonly number[],
  between: readonly ArrayLike<number>[],
  of: readonly number[] = share.map((_, k) => k),
): number {
  const own: number[] = [];
  for (const [i, p] of share.entries()) own[of[i]!] = (own[of[i]!] ?? 0) + p;
  let bits = 0;
  for (const [i, p] of share.entries()) {
    if (p === 0) continue;
    let sum = 0;
    let within = 0;
    for (const [j, q] of share.entries()) {
      const alike = q * Math.exp(-between[i]![j]! / 8);
      sum += alike;
      if (of[j] === of[i]) within += alike;
    }
    bits -= p * Math.log2((sum * own[of[i]!]!) / within);
  }
  return Math.max(0, bits);
}

/** A bound of `information` that needs no exponentials: −ln Σ q·e^(−d/8) ≤ Σ q·d/8. */
function atMost(share: readonly number[], between: readonly ArrayLike<number>[]): number {
  let sum = 0;
  for (let i = 0; i < share.length; i++) for (let j = 0; j < i; j++) sum += share[i]! * share[j]! * between[i]![j]!;
  return (2 * sum) / 8 / Math.LN2;
}

type Apart = (a: Float64Array, b: Float64Array) => number;

/** How far apart two predictions of a candidate are, as χ²: levels to about 1 dB, phases to about 5°. */
function separation(asked: Scene, { take, meter }: Candidate): Apart | undefined {
  if (take) {
    const staged = asked.takes.find((one) => one.take.label === take.label);
    if (!staged) return undefined;
    const from = 2 * staged.first;
    const count = staged.take.channels.length;
    return (a, b) => {
      const turn = { re: 0, im: 0 };
      for (let k = 0; k < count; k++) {
        const [x, y, u, v] = [a[from + 2 * k]!, a[from + 2 * k + 1]!, b[from + 2 * k]!, b[from + 2 * k + 1]!];
        turn.re += x * u + y * v;
        turn.im += y * u - x * v;
      }
      const length = Math.hypot(turn.re, turn.im) || 1;
      let square = 0;
      for (let k = 0; k < count; k++) {
        const [x, y, u, v] = [a[from + 2 * k]!, a[from + 2 * k + 1]!, b[from + 2 * k]!, b[from + 2 * k + 1]!];
        const re = x - (u * turn.re - v * turn.im) / length;
        const im = y - (u * turn.im + v * turn.re) / length;
        const sd = 0.09 * Math.max(Math.hypot(x, y), Math.hypot(u, v)) + 10 * floors.quiet;
        square += (re * re + im * im) / (sd * sd);
      }
      return square;
    };
  }
  const staged = asked.meters.find((one) => one.meter.label === meter!.label);
  if (!staged) return undefined;
  const at = 2 * staged.slot;
  const dc = meter!.kind === 'dc';
  const sd = (value: number) => (dc ? 0.03 + 0.03 * Math.abs(value) : staged.atChip ? 0.4 : 0.12);
  // Ohms are told apart by their ratio, between a beep and over range.
  const shown = (value: number) => (dc ? value : Math.log(Math.min(Math.max(value, 0.5), overRange)));
  return (a, b) => ((shown(a[at]!) - shown(b[at]!)) / Math.max(sd(a[at]!), sd(b[at]!))) ** 2;
}

function outcomesOf(
  asked: Scene,
  candidate: Candidate,
  outcomes: readonly Outcome[],
  between: readonly ArrayLike<number>[],
  tell: (outcome: Outcome) => string,
): NextProbe['outcomes'] {
  const leaders: { at: number; share: number }[] = [];
  for (const [i, { share }] of outcomes.entries()) {
    const leader = leaders.find(({ at }) => between[at]![i]! < 9);
    if (leader) leader.share += share;
    else leaders.push({ at: i, share });
  }
  return leaders
    .sort((a, b) => b.share - a.share || a.at - b.at)
    .slice(0, 3)
    .map(({ at }) => ({ shows: shown(asked, candidate, outcomes[at]!.values), means: tell(outcomes[at]!) }));
}

/** A predicted outcome as it would be read. */
function shown(asked: Scene, { take, meter, probe }: Candidate, values: Float64Array): string {
  if (meter) {
    const value = values[2 * asked.meters.find((one) => one.meter.label === meter.label)!.slot]!;
    if (meter.kind === 'dc') return `${value.toFixed(2)} V`;
    const ohms = value;
    return ohms > 1e7 ? 'over range' : ohms < 1 ? 'a beep' : `about ${Number(ohms.toPrecision(2))} Ω`;
  }
  const first = asked.takes.find((one) => one.take.label === take!.label)!.first;
  const levels = take!.channels.map((_, k) => Math.hypot(values[2 * (first + k)]!, values[2 * (first + k) + 1]!));
  const most = Math.max(...levels);
  const text = (level: number) =>
    level < 1e-3 * Math.max(most, 0.05) ? 'nothing' : `${Number((level / Math.SQRT2).toPrecision(2))} V`;
  const told = levels.map((level, k) => `${text(level)} at ${probe[k]}`).join(', ');
  if (levels.length < 2 || most < 5e-5 || levels[0]! < 1e-2 * most || levels[1]! < 1e-2 * most) return told;
  const [a, b, c, d] = [0, 1, 2, 3].map((k) => values[2 * first + k]!) as [number, number, number, number];
  return `${told}, ${a * c + b * d < 0 ? 'in opposite phase' : 'in phase'}`;
}

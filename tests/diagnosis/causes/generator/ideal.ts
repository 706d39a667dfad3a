import type { Broken, Fault } from './faults';
import { mahalanobis } from './linear';
import { drawSpecimen, noise, nominal, type Seen, simulate } from './simulate';
import { Draw, type World } from './world';

/**
 * The observer who knows everything but the fault: how often each is met, how parts and levels spread, the noise. It simulates
 * many specimens under every fault by the generator's own hand, and weighs each by how well it gives what was seen.
 */

/** A fault, or null for a healthy board. */
export type Suspect = Fault | null;

/** The phase of a recording is not known: each is turned onto the other before they are held together. */
function turned(seen: Seen[number], onto: Seen[number]): Seen[number] {
  let re = 0;
  let im = 0;
  for (const [k, a] of seen.entries()) {
    const b = onto[k]!;
    re += a.re * b.re + a.im * b.im;
    im += a.re * b.im - a.im * b.re;
  }
  const length = Math.hypot(re, im);
  if (length === 0) return seen;
  return seen.map((a) => ({ re: (a.re * re - a.im * im) / length, im: (a.re * im + a.im * re) / length }));
}

const crosstalk = (channels: Seen[number]) =>
  noise.crosstalk * Math.max(...channels.map(({ re, im }) => Math.hypot(re, im)));

/** ln of the density of what was seen, given what one specimen gives without noise. */
function logDensity(seen: Seen, given: Seen): number {
  let log = 0;
  for (const [c, channels] of given.entries()) {
    const aligned = turned(seen[c]!, channels);
    const floor = Math.hypot(noise.floor, crosstalk(channels));
    for (const [k, p] of channels.entries()) {
      const y = aligned[k]!;
      const size = Math.hypot(p.re, p.im);
      const u = size > 0 ? { re: p.re / size, im: -p.im / size } : { re: 1, im: 0 };
      const d = { re: y.re - p.re, im: y.im - p.im };
      const along = Math.hypot(noise.along * size, floor);
      const across = Math.hypot(noise.across * size, floor);
      const a = (u.re * d.re - u.im * d.im) / along;
      const b = (u.re * d.im + u.im * d.re) / across;
      log -= 0.5 * (a * a + b * b) + Math.log(along * across);
    }
  }
  return log;
}

const logMean = (values: readonly number[]): number => {
  const top = Math.max(...values);
  return top + Math.log(values.reduce((sum, value) => sum + Math.exp(value - top), 0) / values.length);
};

export interface Judged {
  readonly suspect: Suspect;
  readonly probability: number;
}

/** Posterior over healthy and every fault, likeliest first. `healthy`: the share of boards with no fault. */
export function judge(
  world: World,
  faults: readonly Fault[],
  seen: Seen,
  volts: number,
  healthy: number,
  draws: number,
): Judged[] {
  const draw = new Draw(77);
  const total = faults.reduce((sum, { odds }) => sum + odds, 0);
  const plain = simulate(world, nominal, {});
  const reference = evidence(world, seen, null, draws, draw);
  const logs = [null, ...faults].map((suspect: Suspect) => {
    const prior = suspect === null ? healthy : ((1 - healthy) * suspect.odds) / total;
    // One reading off the meter, 1 % of a supply of 3.3 V within 3 %.
    const unpowered = suspect?.form(new Draw(1)).unpowered === true;
    const supply = unpowered === volts < 1 ? 0 : -200;
    const log =
      suspect === null || invisible(world, suspect, plain)
        ? reference
        : hopeless(world, suspect, seen)
          ? Number.NEGATIVE_INFINITY
          : evidence(world, seen, suspect, draws, draw);
    return { suspect, log: Math.log(prior) + log + supply };
  });
  const top = Math.max(...logs.map(({ log }) => log));
  const sum = logs.reduce((all, { log }) => all + Math.exp(log - top), 0);
  return logs
    .map(({ suspect, log }) => ({ suspect, probability: Math.exp(log - top) / sum }))
    .sort((a, b) => b.probability - a.probability);
}

function evidence(world: World, seen: Seen, suspect: Suspect, draws: number, draw: Draw): number {
  return logMean(
    Array.from({ length: draws }, () => {
      const form = suspect === null ? {} : suspect.form(draw);
      const [left, right] = separately(world, draw, form);
      // Levels are linear: many of them for one solution of the network.
      return logMean(
        Array.from({ length: 24 }, () => {
          const { out, scale } = drawSpecimen(world, draw);
          return logDensity(seen, mixed(left, right, out[0] * scale, out[1] * scale));
        }),
      );
    }),
  );
}

/** What each source gives alone, for one draw of the parts. */
function separately(world: World, draw: Draw, form: Broken): [Seen, Seen] {
  const { parts } = drawSpecimen(world, draw);
  return [
    simulate(world, { parts, out: [1, 0], scale: 1 }, form),
    simulate(world, { parts, out: [0, 1], scale: 1 }, form),
  ];
}

const mixed = (a: Seen, b: Seen, x: number, y: number): Seen =>
  a.map((channels, c) =>
    channels.map((one, k) => ({ re: x * one.re + y * b[c]![k]!.re, im: x * one.im + y * b[c]![k]!.im })),
  );

/** A fault that changes no probed figure by a thousandth of the loudest. */
export function invisible(world: World, suspect: Fault, plain: Seen): boolean {
  const draw = new Draw(5);
  return Array.from({ length: 3 }, () => simulate(world, nominal, suspect.form(draw))).every((seen) =>
    seen.every((channels, c) =>
      channels.every(({ re, im }, k) => {
        const most = Math.max(...plain[c]!.map((one) => Math.hypot(one.re, one.im)));
        return Math.hypot(re - plain[c]![k]!.re, im - plain[c]![k]!.im) < 1e-4 * most;
      }),
    ),
  );
}

/** Not within 30 standard deviations, tolerances generously taken, in any of a few forms. */
function hopeless(world: World, suspect: Fault, seen: Seen): boolean {
  const draw = new Draw(6);
  const fits = Array.from({ length: 24 }, () => simulate(world, nominal, suspect.form(draw))).map((given) => {
    let square = 0;
    for (const [c, channels] of given.entries()) {
      const aligned = turned(seen[c]!, channels);
      for (const [k, p] of channels.entries()) {
        const y = aligned[k]!;
        const sd =
          0.3 * Math.max(Math.hypot(p.re, p.im), Math.hypot(y.re, y.im)) +
          5 * Math.hypot(noise.floor, crosstalk(channels));
        square += ((y.re - p.re) ** 2 + (y.im - p.im) ** 2) / sd ** 2;
      }
    }
    return square;
  });
  return Math.min(...fits) > 60;
}

/** How specimens spread about a form, with noise: by sampling. Figures side by side, phases aligned. */
export function spread(world: World, form: Broken, samples = 120): { mean: number[]; covariance: number[][] } {
  const draw = new Draw(9);
  const plain = simulate(world, nominal, form);
  const mean = flat(plain);
  const size = mean.length;
  const covariance = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  for (let n = 0; n < samples; n++) {
    const one = simulate(world, drawSpecimen(world, draw), form).map((channels, c) => turned(channels, plain[c]!));
    const d = flat(one).map((value, i) => value - mean[i]!);
    for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) covariance[i]![j]! += (d[i]! * d[j]!) / samples;
  }
  let at = 0;
  for (const channels of plain) {
    const floor = Math.hypot(noise.floor, crosstalk(channels));
    for (const { re, im } of channels) {
      const size2 = (noise.along * Math.hypot(re, im)) ** 2 + floor ** 2;
      covariance[at]![at]! += size2;
      covariance[at + 1]![at + 1]! += size2;
      at += 2;
    }
  }
  return { mean, covariance };
}

const flat = (seen: Seen): number[] => seen.flatMap((channels) => channels.flatMap(({ re, im }) => [re, im]));

/** χ² by which a form's noise-free figures lie from those of another whose spread is known. */
export function distance(world: World, form: Broken, from: { mean: number[]; covariance: number[][] }): number {
  let at = 0;
  const plain = simulate(world, nominal, form).map((channels) => {
    const onto = channels.map((_, k) => ({ re: from.mean[at + 2 * k]!, im: from.mean[at + 2 * k + 1]! }));
    at += 2 * channels.length;
    return turned(channels, onto);
  });
  return mahalanobis(
    flat(plain).map((value, i) => value - from.mean[i]!),
    from.covariance,
  );
}

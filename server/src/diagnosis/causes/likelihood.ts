import { Frame } from './frame';
import { density, given, logSum, spread } from './gauss';
import { held } from './likelihood-meter';
import { badReading, floors } from './priors';
import type { Scene } from './scene';
import type { Prediction, Staged } from './staged';

/** What was seen, in the slots of a scene; or what a hypothesis would have shown, to be held against another. */
export interface Observed {
  readonly values: Float64Array;
  readonly correlations: readonly (number | undefined)[];
  readonly delays: readonly (number | undefined)[];
}

export interface Fit {
  /** ln of the likelihood. */
  readonly log: number;
  /** rᵀ·K⁻¹·r of all figures together. */
  readonly square: number;
  /** Measurement → how far off it is given all others, χ² by its figures. */
  readonly off: ReadonlyMap<string, number>;
  /** The prediction in the scale and phase that fit best: what this hypothesis would have shown without noise. */
  readonly fitted: Observed;
}

/** Holds predictions against what was seen on one scene. */
export class Likelihood {
  readonly seen: Observed;
  private readonly loudest: readonly number[];

  constructor(readonly scene: Scene) {
    this.seen = seenOn(scene);
    const own = scene.takes.map(({ take }) =>
      Math.max(...take.channels.map(({ value }) => Math.hypot(value.re, value.im))),
    );
    const anywhere = new Map<string, number>();
    const unit = (staged: Staged) => (staged.gain.name.startsWith('gain of') ? staged.gain.name : 'volts');
    for (const [t, staged] of scene.takes.entries())
      anywhere.set(unit(staged), Math.max(anywhere.get(unit(staged)) ?? 0, own[t]!));
    this.loudest = scene.takes.map((staged, t) =>
      Math.max(own[t]!, 0.3 * anywhere.get(unit(staged))!, unit(staged) === 'volts' ? 0.05 : 0.1),
    );
  }

  /** How well a prediction fits what was seen, or another's noise-free figures. */
  fit(prediction: Prediction, delay = 0, observed: Observed = this.seen): Fit {
    const frame = new Frame();
    const fitted = new Float64Array(prediction.values.length);
    const gains = this.gains(prediction, observed);
    let log = 0;
    for (const gain of gains.values()) log -= 0.5 * (gain.ln / gain.sd) ** 2;
    for (const [t, staged] of this.scene.takes.entries())
      this.take(frame, t, staged, prediction, observed, gains.get(staged.gain.name)?.factor ?? 1, fitted);
    for (const [t, { take }] of this.scene.takes.entries())
      log += this.pair(frame, t, take, prediction, observed, delay);
    const off = new Map<string, number>();
    const bounds = new Map<string, number>();
    for (const staged of this.scene.meters)
      log += this.meter(frame, staged, prediction, observed, fitted, { off: bounds });
    const covariance = frame.covariance();
    const alone = frame.residual.length === 0 ? [] : ofEach(frame, covariance);
    const result = frame.residual.length === 0 ? undefined : density(Float64Array.from(frame.residual), covariance);
    const size = frame.residual.length;
    if (result) {
      const wrong: number[] = [];
      for (const { label, from, count, broad } of frame.blocks) {
        const one = given(result, size, from, count);
        off.set(label, Math.max(off.get(label) ?? 0, count === 2 ? one.square / 1.5 : one.square));
        wrong.push(Math.log(badReading) + broad - one.log);
      }
      for (const [label, square] of alone) off.set(label, Math.max(off.get(label) ?? 0, square));
      log += result.log + logSum([Math.log(1 - Math.min(0.5, badReading * frame.blocks.length)), ...wrong]);
    }
    for (const [label, square] of bounds) off.set(label, Math.max(off.get(label) ?? 0, square));
    return {
      log,
      square: result?.square ?? 0,
      off,
      fitted: {
        values: fitted,
        correlations: prediction.correlations.map((rho, t) => {
          const range = prediction.ranges[t];
          return range ? Math.min(range[1], Math.max(range[0], observed.correlations[t] ?? 0)) : rho;
        }),
        delays: this.scene.takes.map(({ take }) => (take.delay ? delay : undefined)),
      },
    };
  }

  /**
   * A coarse χ²: every figure off by a third, and the worst one taken as wrong. What is far off even so need not have its covariance
   * worked out.
   */
  miss(prediction: Prediction): number {
    const gains = this.gains(prediction, this.seen);
    let sum = 0;
    let worst = 0;
    const { values: seen } = this.seen;
    for (const { take, gain, first } of this.scene.takes) {
      const count = take.channels.length;
      const factor = gains.get(gain.name)?.factor ?? 1;
      const turn = take.kind === 'phasor' ? turnOf(prediction.values, seen, first, count) : { re: 1, im: 0 };
      const most = observedMost(this.seen, first, count);
      for (const [k, channel] of take.channels.entries()) {
        if (!Number.isFinite(channel.sd.along)) continue;
        const slot = 2 * (first + k);
        const [p, q] = [prediction.values[slot]! * factor, prediction.values[slot + 1]! * factor];
        const re = seen[slot]! - (p * turn.re - q * turn.im);
        const im = seen[slot + 1]! - (p * turn.im + q * turn.re);
        const loud = Math.max(Math.hypot(p, q), Math.hypot(seen[slot]!, seen[slot + 1]!));
        const sd = coarse * loud + 20 * floors.quiet + 0.01 * most + 3 * channel.sd.along;
        const square = (re * re + im * im) / (sd * sd);
        sum += square;
        worst = Math.max(worst, square);
      }
    }
    return sum - worst;
  }

  /** The likelihood where nothing is predicted at all: what remains when no hypothesis fits. */
  unexplained(): number {
    const frame = new Frame();
    const nothing = {
      values: new Float64Array(2 * this.scene.slots),
      columns: new Map(),
      correlations: [],
      ranges: [],
    };
    const fitted = new Float64Array(2 * this.scene.slots);
    let log = 0;
    for (const [t, staged] of this.scene.takes.entries()) this.take(frame, t, staged, nothing, this.seen, 1, fitted);
    for (const [t, { take }] of this.scene.takes.entries()) {
      const rho = this.seen.correlations[t];
      if (rho !== undefined && take.correlation) log += Math.log(0.5);
      if (take.delay) log += spread([take.delay.value], 1e-3);
    }
    for (const staged of this.scene.meters) log += this.meter(frame, staged, nothing, this.seen, fitted, { any: true });
    return frame.blocks.reduce((sum, { broad }) => sum + broad, log);
  }

  /** Loudness that nobody stated, by name: fitted robustly, by the median over what is not silent on either side. */
  private gains(prediction: Prediction, observed: Observed) {
    const ratios = new Map<string, { sd: number; of: number[] }>();
    for (const { gain, take, first } of this.scene.takes) {
      if (gain.sd < 1) continue;
      const slots = take.channels
        .map((_, k) => first + k)
        .filter((_, k) => Number.isFinite(take.channels[k]!.sd.along));
      const predicted = slots.map((slot) => size(prediction.values, slot));
      const most = Math.max(...predicted);
      let entry = ratios.get(gain.name);
      if (!entry) {
        entry = { sd: gain.sd, of: [] };
        ratios.set(gain.name, entry);
      }
      for (const [k, slot] of slots.entries())
        if (predicted[k]! > 0.1 * most)
          entry.of.push(Math.max(size(observed.values, slot), floors.quiet) / predicted[k]!);
    }
    return new Map(
      [...ratios].map(([name, { sd, of }]) => {
        const sorted = of.sort((a, b) => a - b);
        const factor = sorted.length === 0 ? 1 : sorted[sorted.length >> 1]!;
        return [name, { factor, ln: Math.log(factor), sd }] as const;
      }),
    );
  }

  private take(
    frame: Frame,
    t: number,
    { take, gain, first }: Staged,
    prediction: Prediction,
    observed: Observed,
    factor: number,
    fitted: Float64Array,
  ): void {
    const { values, columns } = prediction;
    const phasor = take.kind === 'phasor';
    const turn = phasor ? turnOf(values, observed.values, first, take.channels.length) : { re: 1, im: 0 };
    const rotate = (of: Float64Array, slot: number) => {
      const re = of[2 * slot]! * factor;
      const im = of[2 * slot + 1]! * factor;
      return { re: re * turn.re - im * turn.im, im: re * turn.im + im * turn.re };
    };
    const predicted = take.channels.map((_, k) => rotate(values, first + k));
    const most = Math.max(...predicted.map(({ re, im }) => Math.hypot(re, im)));
    const floor = Math.hypot(
      floors.crosstalk * Math.max(most, observedMost(observed, first, take.channels.length)),
      floors.quiet,
    );
    for (const [k, channel] of take.channels.entries()) {
      const slot = first + k;
      const q = predicted[k]!;
      fitted[2 * slot] = q.re;
      fitted[2 * slot + 1] = q.im;
      if (!Number.isFinite(channel.sd.along)) continue;
      const loud = Math.hypot(q.re, q.im);
      // Along the predicted phasor and across it; with nothing predicted, along whatever was seen.
      const u = loud > 0 ? { re: q.re / loud, im: -q.im / loud } : { re: 1, im: 0 };
      const re = observed.values[2 * slot]! - q.re;
      const im = observed.values[2 * slot + 1]! - q.im;
      const along = (floors.along * loud) ** 2 + channel.sd.along ** 2 + floor ** 2;
      const { label } = take;
      const s = this.loudest[t]!;
      if (!phasor) {
        const broad = spread([observed.values[2 * slot]!], s);
        const at = frame.block(label, [re], [along], broad);
        this.shared(frame, columns, slot, at, factor, gain, loud);
        continue;
      }
      const across = (floors.across * loud) ** 2 + channel.sd.across ** 2 + floor ** 2;
      const broad = spread([observed.values[2 * slot]!, observed.values[2 * slot + 1]!], s);
      const at = frame.block(label, [u.re * re - u.im * im, u.re * im + u.im * re], [along, across], broad);
      for (const [name, column] of columns) {
        const c = rotate(column, slot);
        frame.move(name, at, u.re * c.re - u.im * c.im);
        frame.move(name, at + 1, u.re * c.im + u.im * c.re);
      }
      frame.move(gain.name, at, loud * gain.sd);
      frame.move(`phase of ${take.label}`, at + 1, loud * 2);
    }
  }

  private shared(
    frame: Frame,
    columns: ReadonlyMap<string, Float64Array>,
    slot: number,
    at: number,
    factor: number,
    gain: Staged['gain'] | undefined,
    loud: number,
  ): void {
    for (const [name, column] of columns) frame.move(name, at, factor * column[2 * slot]!);
    if (gain) frame.move(gain.name, at, loud * gain.sd);
  }

  /** How the first two channels are alike, and how late the second is; returns what a wide range of answers costs. */
  private pair(
    frame: Frame,
    t: number,
    take: Staged['take'],
    prediction: Prediction,
    observed: Observed,
    delay: number,
  ): number {
    const rho = observed.correlations[t];
    const range = prediction.ranges[t];
    if (range && take.correlation && rho !== undefined) {
      // Anywhere in the range as likely as elsewhere: a wide one is worth less where a narrow one fits.
      const miss = Math.max(range[0] - rho, rho - range[1], 0);
      frame.block(take.label, [miss], [floors.programme ** 2], Math.log(0.5));
      return -Math.log(1 + (range[1] - range[0]) / (2 * floors.programme));
    }
    // Both channels were heard, and this cause leaves one of them silent.
    if (take.side === 'programme') return take.correlation ? Math.log(badReading) : 0;
    if (take.correlation && rho !== undefined) {
      const wanted = prediction.correlations[t];
      // A late side says little by its correlation, and a silent one nothing.
      const sd = wanted === undefined || delay !== 0 ? 0.7 : take.correlation.sd;
      frame.block(take.label, [rho - (delay === 0 ? (wanted ?? 0) : 0)], [sd ** 2], Math.log(0.5));
    }
    const late = observed.delays[t];
    if (take.delay && late !== undefined)
      frame.block(take.label, [late - delay], [take.delay.sd ** 2 + (0.1 * delay) ** 2], spread([late], 1e-3));
    return 0;
  }

  /** Adds a meter's figure; bounds have no residual and give their ln directly. */
  private meter(
    frame: Frame,
    { meter, slot, atChip }: Scene['meters'][number],
    prediction: Prediction,
    observed: Observed,
    fitted: Float64Array,
    { any = false, off }: { readonly any?: boolean; readonly off?: Map<string, number> } = {},
  ): number {
    const value = prediction.values[2 * slot]!;
    fitted[2 * slot] = value;
    const one = held(meter, atChip, value, observed.values[2 * slot]!);
    if ('log' in one) {
      if (any) return Math.log(0.5);
      off?.set(meter.label, one.kept ? 0 : missedBound);
      return one.log;
    }
    const at = frame.block(meter.label, [one.residual], [one.variance], one.broad);
    this.shared(frame, prediction.columns, slot, at, 1, undefined, 0);
    return 0;
  }
}

/**
 * Measurements of more than one block, each by itself: channels that are off together may each fit beside the other. As the square
 * of a standard deviation: χ² of n figures has mean n and variance 2n.
 */
function ofEach({ blocks, residual }: Frame, covariance: Float64Array): [string, number][] {
  const size = residual.length;
  const places = new Map<string, number[]>();
  for (const { label, from, count } of blocks) {
    const own = places.get(label) ?? [];
    for (let k = from; k < from + count; k++) own.push(k);
    places.set(label, own);
  }
  return [...places].flatMap(([label, at]): [string, number][] => {
    const n = at.length;
    if (n < 3) return [];
    const rows = at.map((i) => [...at.map((j) => covariance[i * size + j]!), residual[i]!]);
    let square = 0;
    // Elimination without roots: each pivot gives what its figure adds.
    for (let k = 0; k < n; k++) {
      const pivot = Math.max(rows[k]![k]!, 1e-30);
      square += rows[k]![n]! ** 2 / pivot;
      for (let i = k + 1; i < n; i++) {
        const factor = rows[i]![k]! / pivot;
        for (let j = k + 1; j <= n; j++) rows[i]![j]! -= factor * rows[k]![j]!;
      }
    }
    const beyond = (square - n) / Math.sqrt(2 * n);
    return [[label, beyond > 0 ? beyond ** 2 : 0]];
  });
}

/** Share of a figure that counts as one standard deviation there. */
const coarse = 0.35;

/** χ² told for a bound that is not kept: a beep where there should be none. */
const missedBound = 25;

const size = (values: Float64Array, slot: number): number => Math.hypot(values[2 * slot]!, values[2 * slot + 1]!);

const observedMost = ({ values }: Observed, first: number, count: number): number => {
  let most = 0;
  for (let k = 0; k < count; k++) most = Math.max(most, size(values, first + k));
  return most;
};

/** The phase that all channels of a recording share: the turn that brings the prediction onto what was seen. */
function turnOf(predicted: Float64Array, seen: Float64Array, first: number, count: number): { re: number; im: number } {
  let re = 0;
  let im = 0;
  for (let slot = first; slot < first + count; slot++) {
    re += predicted[2 * slot]! * seen[2 * slot]! + predicted[2 * slot + 1]! * seen[2 * slot + 1]!;
    im += predicted[2 * slot]! * seen[2 * slot + 1]! - predicted[2 * slot + 1]! * seen[2 * slot]!;
  }
  const length = Math.hypot(re, im);
  return length > 0 ? { re: re / length, im: im / length } : { re: 1, im: 0 };
}

function seenOn(scene: Scene): Observed {
  const values = new Float64Array(2 * scene.slots);
  for (const { take, first } of scene.takes)
    for (const [k, { value }] of take.channels.entries()) {
      values[2 * (first + k)] = value.re;
      values[2 * (first + k) + 1] = value.im;
    }
  for (const { meter, slot } of scene.meters) values[2 * slot] = meter.value;
  return {
    values,
    correlations: scene.takes.map(({ take }) => take.correlation?.value),
    delays: scene.takes.map(({ take }) => take.delay?.value),
  };
}

import type { Envelope } from './envelope';

/** Frames of a recording: from (inclusive) to (exclusive). */
export interface Frames {
  readonly from: number;
  readonly to: number;
}

/** Most frames a stretch is made of. */
export const longestStretch = 1 << 20;

/**
 * How far a channel's power may vary over a steady stretch: ½ dB of its own, or a thousandth of all channels' (noise beside a
 * tone); and what noise makes of it, eight deviations from least to largest, up to 60 %. Common practice, no source.
 */
const own = 0.12;
const ofAll = 1e-3;
const deviations = 8;
const mostByNoise = 0.6;

/**
 * The stretch of a recording over which every channel keeps its level, chosen as the longest, weighted with its amplitude so
 * that a pause does not win over a tone; at most 2^20 frames, from its middle. Levels are judged over parts of at least four
 * periods (`period` in frames) and 40 ms; a record shorter than four parts is taken as a whole. Null where no level holds for
 * three parts.
 */
export function steadyStretch(envelope: Envelope, period: number): Frames | null {
  const { hop, rate, frames } = envelope;
  const fewest = Math.max(1, Math.ceil((4 * period) / hop));
  const wanted = Math.max(fewest, Math.round((0.04 * rate) / hop));
  const per = Math.max(fewest, Math.min(wanted, Math.floor(envelope.hops / 32)));
  const parts = Math.floor(envelope.hops / per);
  if (parts < 4) return { from: 0, to: Math.min(frames, longestStretch) };
  const powers = envelope.means.map((_, channel) => partPowers(envelope, channel, per, parts));
  const run = bestRun(powers, parts, longestStretch / (per * hop));
  if (run === null) return null;
  // The parts at the edges may hold a bit of what comes before and after, unless the recording itself begins or ends there.
  const trim = run.to - run.from >= 8 ? 1 : 0;
  const from = run.from === 0 ? 0 : (run.from + trim) * per * hop;
  const to = run.to === parts ? frames : (run.to - trim) * per * hop;
  const length = Math.min(to - from, longestStretch);
  const start = from + Math.floor((to - from - length) / 2);
  return { from: start, to: start + length };
}

/** Power without DC of a channel in each of `parts` parts of `per` hops. */
function partPowers(envelope: Envelope, channel: number, per: number, parts: number): Float64Array {
  const out = new Float64Array(parts);
  for (let part = 0; part < parts; part++) {
    let mean = 0;
    let square = 0;
    for (let i = part * per; i < (part + 1) * per; i++) {
      mean += envelope.means[channel]![i]! / per;
      square += envelope.squares[channel]![i]! / per;
    }
    out[part] = Math.max(0, square - mean * mean);
  }
  return out;
}

/**
 * How much a channel's power scatters from part to part, by the median of the steps between neighbours: slow changes and a few
 * jumps do not enter it. For Gaussian scatter the median step is 0.954 σ.
 */
function scatterOf(powers: Float64Array): number {
  const steps = powers.map((power, i) => Math.abs(power - (powers[i - 1] ?? power))).sort();
  return (steps[Math.floor(steps.length / 2)] ?? 0) / 0.954;
}

/** Largest and smallest of a sliding run, by monotone queues: every part enters and leaves once. */
class Extremes {
  readonly #largest: number[] = [];
  readonly #smallest: number[] = [];
  readonly #scatter: number;
  constructor(readonly values: Float64Array) {
    this.#scatter = scatterOf(values);
  }
  enter(i: number): void {
    const value = this.values[i]!;
    while (this.#largest.length && this.values[this.#largest.at(-1)!]! <= value) this.#largest.pop();
    while (this.#smallest.length && this.values[this.#smallest.at(-1)!]! >= value) this.#smallest.pop();
    this.#largest.push(i);
    this.#smallest.push(i);
  }
  leave(i: number): void {
    if (this.#largest[0] === i) this.#largest.shift();
    if (this.#smallest[0] === i) this.#smallest.shift();
  }
  get max(): number {
    return this.values[this.#largest[0]!] ?? 0;
  }
  /** Whether the run's powers lie close enough; `all` is the power of every channel together. */
  holds(all: number): boolean {
    const { max } = this;
    const noise = Math.min(deviations * this.#scatter, mostByNoise * max);
    return max - (this.values[this.#smallest[0]!] ?? 0) <= own * max + ofAll * all + noise;
  }
}

/** The run of parts with the largest amplitude times length (length counted up to `cap` parts). */
function bestRun(powers: readonly Float64Array[], parts: number, cap: number): Frames | null {
  const queues = powers.map((values) => new Extremes(values));
  const steady = () => {
    const all = queues.reduce((sum, queue) => sum + queue.max, 0);
    return queues.every((queue) => queue.holds(all));
  };
  let best: Frames | null = null;
  let score = 0;
  let from = 0;
  for (let to = 0; to < parts; to++) {
    for (const queue of queues) queue.enter(to);
    while (!steady()) {
      for (const queue of queues) queue.leave(from);
      from++;
    }
    const length = to + 1 - from;
    const amplitude = Math.sqrt(queues.reduce((sum, queue) => sum + queue.max, 0));
    const value = Math.min(length, cap) * amplitude;
    // Beyond the cap the value stands still: then the longer run is the better.
    const better = value > score || (value === score && best !== null && length > best.to - best.from);
    if (length >= 3 && better) {
      score = value;
      best = { from, to: to + 1 };
    }
  }
  return best;
}

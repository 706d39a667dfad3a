import { fourier } from './fft';
import { overlapCorrelation, type Window, type WindowName, windowOf } from './windows';

export interface WelchOptions {
  /** Samples a segment: a power of two. */
  readonly segment: number;
  /** Samples from one segment to the next; default half a segment. */
  readonly hop?: number;
  /** Default Hann. */
  readonly window?: WindowName;
  /** Take each segment's own mean off before the window; default true. */
  readonly detrend?: boolean;
  /** Pairs of channels whose cross spectrum is wanted; default every pair. */
  readonly pairs?: readonly (readonly [number, number])[];
}

/** Cross spectrum of a pair, one-sided like the auto spectra: <X*·Y>, so its phase is the second channel's against the first. */
export interface CrossSpectrum {
  readonly re: Float64Array;
  readonly im: Float64Array;
  /**
   * How evenly the pair's energy is spread over the segments: (ΣE)²/(K·ΣE²), 1 where all carry the same, 1/K where one carries
   * it all. A burst among K segments is evidence of one, not of K.
   */
  readonly evenness: number;
}

/** Averaged spectra: densities in unit²/Hz, one-sided, bins 0 … segment/2 at k·rate/segment. */
export interface Spectra {
  readonly rate: number;
  readonly segment: number;
  readonly window: Window;
  readonly binWidth: number;
  /** Segments averaged. With none, every density is 0. */
  readonly segments: number;
  /** Segments' worth of independent evidence: less than `segments` when they overlap. */
  readonly effectiveSegments: number;
  readonly auto: readonly Float64Array[];
  /** The cross spectrum of channels a and b; conjugated as needed when only b, a was gathered. Not gathered: throws. */
  cross(a: number, b: number): CrossSpectrum;
}

/**
 * Welch's method as a stream: `push` blocks of any length, the same for every channel, and read `result` at any time. Holds
 * one segment a channel and the sums, whatever the length. Equal to scipy.signal.welch and csd of the same segment, hop,
 * periodic window and constant detrend. Samples after the last whole segment do not count.
 */
export class Welch {
  readonly #window: Window;
  readonly #hop: number;
  readonly #detrend: boolean;
  readonly #pairs: readonly (readonly [number, number])[];
  readonly #buffers: Float64Array[];
  readonly #spectra: Float64Array[];
  readonly #auto: Float64Array[];
  readonly #cross: { re: Float64Array; im: Float64Array; energy: number; energySquared: number }[];
  readonly #energies: Float64Array;
  readonly #scratch: Float64Array;
  #filled = 0;
  #segments = 0;

  constructor(
    readonly channels: number,
    readonly rate: number,
    readonly options: WelchOptions,
  ) {
    const { segment } = options;
    const bins = segment / 2 + 1;
    const each = <T>(make: () => T): T[] => Array.from({ length: channels }, make);
    this.#window = windowOf(options.window ?? 'hann', segment);
    this.#hop = options.hop ?? segment / 2;
    this.#detrend = options.detrend ?? true;
    this.#pairs = options.pairs ?? everyPair(channels);
    this.#buffers = each(() => new Float64Array(segment));
    this.#spectra = each(() => new Float64Array(2 * segment));
    this.#auto = each(() => new Float64Array(bins));
    this.#cross = this.#pairs.map(() => ({
      re: new Float64Array(bins),
      im: new Float64Array(bins),
      energy: 0,
      energySquared: 0,
    }));
    this.#energies = new Float64Array(channels);
    this.#scratch = new Float64Array(segment);
  }

  /** The next samples of every channel, in order. */
  push(blocks: readonly Float64Array[]): void {
    const { segment } = this.options;
    const length = blocks[0]?.length ?? 0;
    for (let at = 0; at < length; ) {
      const take = Math.min(segment - this.#filled, length - at);
      this.#buffers.forEach((buffer, channel) => {
        buffer.set(blocks[channel]!.subarray(at, at + take), this.#filled);
      });
      at += take;
      this.#filled += take;
      if (this.#filled < segment) continue;
      this.#add();
      for (const buffer of this.#buffers) buffer.copyWithin(0, this.#hop);
      this.#filled = segment - this.#hop;
    }
  }

  #add(): void {
    const plan = fourier(this.options.segment);
    const scratch = this.#scratch;
    const window = this.#window.values;
    this.#buffers.forEach((buffer, channel) => {
      const mean = this.#detrend ? meanOf(buffer) : 0;
      let energy = 0;
      for (let n = 0; n < scratch.length; n++) {
        scratch[n] = (buffer[n]! - mean) * window[n]!;
        energy += scratch[n]! ** 2;
      }
      this.#energies[channel] = energy;
      const x = plan.real(scratch, this.#spectra[channel]);
      const auto = this.#auto[channel]!;
      for (let k = 0; k < auto.length; k++) auto[k]! += x[2 * k]! ** 2 + x[2 * k + 1]! ** 2;
    });
    this.#pairs.forEach(([a, b], pair) => {
      const x = this.#spectra[a]!;
      const y = this.#spectra[b]!;
      const sums = this.#cross[pair]!;
      const { re, im } = sums;
      const energy = Math.sqrt(this.#energies[a]! * this.#energies[b]!);
      sums.energy += energy;
      sums.energySquared += energy * energy;
      for (let k = 0; k < re.length; k++) {
        const i = 2 * k;
        re[k]! += x[i]! * y[i]! + x[i + 1]! * y[i + 1]!;
        im[k]! += x[i]! * y[i + 1]! - x[i + 1]! * y[i]!;
      }
    });
    this.#segments++;
  }

  /** What has been gathered so far, as a copy. */
  result(): Spectra {
    const { segment } = this.options;
    const once = this.#segments ? 1 / (this.#segments * this.rate * this.#window.sumOfSquares) : 0;
    // One-sided: every bin stands for its mirror too, but for 0 and the half rate, which have none.
    const scaled = (sums: Float64Array) => sums.map((sum, k) => sum * once * (k === 0 || k === segment / 2 ? 1 : 2));
    const crosses = this.#cross.map(({ re, im, energy, energySquared }) => ({
      re: scaled(re),
      im: scaled(im),
      evenness: energySquared > 0 ? energy ** 2 / (this.#segments * energySquared) : 1,
    }));
    const pairs = this.#pairs;
    return {
      rate: this.rate,
      segment,
      window: this.#window,
      binWidth: this.rate / segment,
      segments: this.#segments,
      effectiveSegments: effectiveSegments(this.#segments, this.#window, this.#hop),
      auto: this.#auto.map(scaled),
      cross(a, b) {
        const straight = pairs.findIndex(([i, j]) => i === a && j === b);
        if (straight >= 0) return crosses[straight]!;
        const turned = crosses[pairs.findIndex(([i, j]) => i === b && j === a)];
        if (!turned) throw new Error(`cross spectrum ${a}, ${b} was not gathered`);
        return { ...turned, im: turned.im.map((value) => -value) };
      },
    };
  }
}

/**
 * Independent segments that K overlapping ones are worth: K / (1 + 2·Σ (1 − j/K)·c(j·hop)²), c the window's overlap
 * correlation (Welch 1967). Hann at half overlap, 31 segments: 29.42.
 */
export function effectiveSegments(segments: number, window: Window, hop: number): number {
  let shared = 0;
  for (let j = 1; j < segments && j * hop < window.values.length; j++)
    shared += (1 - j / segments) * overlapCorrelation(window, j * hop) ** 2;
  return segments / (1 + 2 * shared);
}

/**
 * A segment length for `frames` samples: about `seconds` long, shortened until at least 16 half-overlapping segments fit, down
 * to 64 samples (with fewer, coherence says little: its noise is 1/K).
 */
export function segmentFor(frames: number, rate: number, seconds = 0.17): number {
  let segment = 64;
  while (segment * 2 <= rate * seconds * Math.SQRT2 && segment * 2 * 8.5 <= frames) segment *= 2;
  return segment;
}

/** Every pair of channels, the lower first. */
export function everyPair(channels: number): [number, number][] {
  const pairs: [number, number][] = [];
  for (let a = 0; a < channels; a++) for (let b = a + 1; b < channels; b++) pairs.push([a, b]);
  return pairs;
}

function meanOf(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum / values.length;
}

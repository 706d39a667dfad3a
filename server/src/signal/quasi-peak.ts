import { fourier, powerOfTwoFrom } from './fft';
import { response468 } from './weighting';

/** What a quasi-peak meter shows over a recording, calibrated as the recommendation asks: a steady 1 kHz sine reads its RMS. */
export interface QuasiPeakReading {
  /** The highest it reaches: what the recommendation reads for a burst. One click makes it. */
  readonly highest: number;
  /** The median of its readings once settled: what hiss alone makes it show. */
  readonly typical: number;
}

/**
 * Two peak rectifiers in tandem behind a full-wave rectifier, as Annex 1 of ITU-R BS.468-4 describes the meter; charging and
 * leaking, s. The recommendation gives no time constants, but readings for tone bursts with limits (its tables 2 and 3): these
 * four numbers are fitted to those, and meet all eleven within 0.2 dB.
 */
const stages = { charge1: 1.454e-3, leak1: 0.2927, charge2: 0.2391, leak2: 0.3443 } as const;

/** Until it is this old (s) the meter has not come up to within 0.1 dB of a steady sound. */
const settled = 1;

/** Weighted impulses have died away by then, s: the slowest pole decays in 53 µs. */
const memory = 3e-3;
/** Samples on both sides of a segment that cutting the response off at half the rate rings over. */
const ringing = 64;
/** No noise of an audible kind is recorded faster, Hz; beyond, segments would get out of hand. */
const fastest = 4e6;

/** Rectified peaks need eight samples a period at least: how much finer than recorded the weighted wave is worked out. */
const refinement = (rate: number) => (rate >= 160_000 ? 1 : rate >= 80_000 ? 2 : 4);

/** The rectifiers, stepped sample by sample. */
class Rectifiers {
  #first = 0;
  #second = 0;
  highest = 0;
  readonly #charge1: number;
  readonly #keep1: number;
  readonly #charge2: number;
  readonly #keep2: number;

  constructor(rate: number) {
    this.#charge1 = 1 - Math.exp(-1 / (rate * stages.charge1));
    this.#keep1 = Math.exp(-1 / (rate * stages.leak1));
    this.#charge2 = 1 - Math.exp(-1 / (rate * stages.charge2));
    this.#keep2 = Math.exp(-1 / (rate * stages.leak2));
  }

  /** Every second number from `from` to `to` of `wave`, which is interleaved. */
  push(wave: Float64Array, from: number, to: number): void {
    let [first, second, highest] = [this.#first, this.#second, this.highest];
    for (let i = from; i < to; i += 2) {
      const value = Math.abs(wave[i]!);
      first *= this.#keep1;
      if (value > first) first += this.#charge1 * (value - first);
      second *= this.#keep2;
      if (first > second) second += this.#charge2 * (first - second);
      if (second > highest) highest = second;
    }
    this.#first = first;
    this.#second = second;
    this.highest = highest;
  }

  get reading(): number {
    return this.#second;
  }
}

const calibrations = new Map<number, number>();

/** From what the rectifiers show to RMS, by letting them look at a sine of 1 kHz for three seconds. */
function calibration(rate: number): number {
  let factor = calibrations.get(rate);
  if (factor === undefined) {
    const rectifiers = new Rectifiers(rate);
    const sine = new Float64Array(2);
    for (let n = 0; n < 3 * rate; n++) {
      sine[0] = Math.sin((2 * Math.PI * 1000 * n) / rate);
      rectifiers.push(sine, 0, 2);
    }
    factor = Math.SQRT1_2 / rectifiers.highest;
    calibrations.set(rate, factor);
  }
  return factor;
}

/**
 * The noise meter of ITU-R BS.468-4 as a stream: its weighting (by transform, with the network's own phase, 0 dB at 1 kHz), then
 * its quasi-peak detector. `push` blocks of one channel; memory does not grow. DC takes no part.
 */
export class QuasiPeakMeter {
  readonly #rate: number;
  readonly #fine: number;
  readonly #size: number;
  readonly #lead: number;
  readonly #hop: number;
  /** Two segments are transformed at once, one as real and one as imaginary part. */
  readonly #buffer: Float64Array;
  readonly #spectrum: Float64Array;
  readonly #wide: Float64Array;
  readonly #wave: Float64Array;
  readonly #re: Float64Array;
  readonly #im: Float64Array;
  readonly #rectifiers: Rectifiers;
  readonly #readings = new Map<number, number>();
  #filled: number;
  #origin: number | null = null;
  #seen = 0;

  /** @param rate in Hz, up to 4 MHz: see `quasiPeakReads`. */
  constructor(rate: number) {
    this.#rate = rate;
    this.#fine = refinement(rate);
    this.#lead = Math.ceil(memory * rate) + ringing;
    this.#size = powerOfTwoFrom(Math.max(20e-3 * rate, 2 * (this.#lead + ringing)));
    this.#hop = this.#size - this.#lead - ringing;
    this.#buffer = new Float64Array(this.#size + this.#hop);
    this.#spectrum = new Float64Array(2 * this.#size);
    this.#wide = new Float64Array(2 * this.#size * this.#fine);
    this.#wave = new Float64Array(2 * this.#size * this.#fine);
    const bins = this.#size / 2;
    this.#re = new Float64Array(bins);
    this.#im = new Float64Array(bins);
    for (let k = 1; k < bins; k++) {
      const { re, im } = response468((k * rate) / this.#size);
      this.#re[k] = re * this.#fine;
      this.#im[k] = im * this.#fine;
    }
    this.#rectifiers = new Rectifiers(rate * this.#fine);
    this.#filled = this.#lead;
  }

  push(block: Float64Array): void {
    // What went before is taken to have stood at the first value, so that DC is no step.
    this.#origin ??= block[0] ?? null;
    for (let at = 0; at < block.length; ) {
      const take = Math.min(block.length - at, this.#buffer.length - this.#filled);
      for (let i = 0; i < take; i++) this.#buffer[this.#filled + i] = block[at + i]! - this.#origin!;
      this.#filled += take;
      at += take;
      if (this.#filled === this.#buffer.length) this.#work(2);
    }
  }

  /** Weighs and reads the segments at hand, and moves on. */
  #work(segments: 1 | 2): void {
    const size = this.#size;
    const fine = this.#fine;
    const input = this.#spectrum;
    for (let i = 0; i < size; i++) {
      this.#wave[2 * i] = this.#buffer[i]!;
      this.#wave[2 * i + 1] = segments === 2 ? this.#buffer[this.#hop + i]! : 0;
    }
    fourier(size).forward(this.#wave.subarray(0, 2 * size), input);
    this.#wide.fill(0);
    for (let k = 1; k < size / 2; k++) {
      const [re, im] = [this.#re[k]!, this.#im[k]!];
      const up = 2 * k;
      this.#wide[up] = input[up]! * re - input[up + 1]! * im;
      this.#wide[up + 1] = input[up]! * im + input[up + 1]! * re;
      const down = 2 * (size - k);
      const to = 2 * (size * fine - k);
      this.#wide[to] = input[down]! * re + input[down + 1]! * im;
      this.#wide[to + 1] = input[down + 1]! * re - input[down]! * im;
    }
    fourier(size * fine).inverse(this.#wide, this.#wave);
    for (let segment = 0; segment < segments; segment++) {
      const from = 2 * this.#lead * fine + segment;
      this.#rectifiers.push(this.#wave, from, from + 2 * this.#hop * fine);
      this.#seen += this.#hop;
      if (this.#seen >= settled * this.#rate) this.#note(this.#rectifiers.reading);
    }
    this.#buffer.copyWithin(0, segments * this.#hop);
    this.#filled -= segments * this.#hop;
  }

  /** Counts a reading, in steps of 0.05 dB. */
  #note(reading: number): void {
    const step = reading > 0 ? Math.round(400 * Math.log10(reading)) : Number.NEGATIVE_INFINITY;
    this.#readings.set(step, (this.#readings.get(step) ?? 0) + 1);
  }

  /** The readings so far, in the samples' unit as RMS; null before the meter has settled. Nothing may be pushed after it. */
  result(): QuasiPeakReading | null {
    // What is left over makes no whole pair: its first half may still make one segment.
    if (this.#filled >= this.#size) this.#work(1);
    const steps = [...this.#readings].sort(([a], [b]) => a - b);
    const count = steps.reduce((sum, [, times]) => sum + times, 0);
    if (count === 0) return null;
    let below = 0;
    let median = 0;
    for (const [step, times] of steps) {
      if (below < count / 2) median = step;
      below += times;
    }
    const factor = calibration(this.#rate * this.#fine);
    const { highest } = this.#rectifiers;
    return { highest: highest * factor, typical: Math.min(highest, 10 ** (median / 400)) * factor };
  }
}

/** Whether a recording is long enough for the meter to settle, and at a rate it reads. */
export const quasiPeakReads = (frames: number, rate: number): boolean =>
  rate > 0 && rate <= fastest && frames >= 1.1 * settled * rate;

/** The reading over a whole array; null where it is too short. */
export function quasiPeakOf(samples: Float64Array, rate: number): QuasiPeakReading | null {
  if (!quasiPeakReads(samples.length, rate)) return null;
  const meter = new QuasiPeakMeter(rate);
  meter.push(samples);
  return meter.result();
}

/** Level figures of one channel, in its own unit. */
export interface Levels {
  readonly count: number;
  readonly dc: number;
  /** RMS without DC. */
  readonly rms: number;
  readonly min: number;
  readonly max: number;
}

/**
 * DC, RMS and extremes as a stream. Blocks are joined by their means and sums of squared deviations (Chan, Golub & LeVeque
 * 1983), so a small signal on a large DC loses nothing, however long the recording.
 */
export class LevelMeter {
  #count = 0;
  #mean = 0;
  #squares = 0;
  #min = Number.POSITIVE_INFINITY;
  #max = Number.NEGATIVE_INFINITY;

  /** The next `length` samples (default all of the block). */
  push(block: Float64Array, length = block.length): void {
    if (length === 0) return;
    let sum = 0;
    let min = this.#min;
    let max = this.#max;
    for (let i = 0; i < length; i++) {
      const x = block[i]!;
      sum += x;
      if (x < min) min = x;
      if (x > max) max = x;
    }
    const mean = sum / length;
    let squares = 0;
    for (let i = 0; i < length; i++) {
      const deviation = block[i]! - mean;
      squares += deviation * deviation;
    }
    const count = this.#count + length;
    const apart = mean - this.#mean;
    this.#squares += squares + (apart * apart * this.#count * length) / count;
    this.#mean += (apart * length) / count;
    this.#count = count;
    this.#min = min;
    this.#max = max;
  }

  /** The figures so far; all 0 before the first sample. */
  result(): Levels {
    if (this.#count === 0) return { count: 0, dc: 0, rms: 0, min: 0, max: 0 };
    const rms = Math.sqrt(this.#squares / this.#count);
    return { count: this.#count, dc: this.#mean, rms, min: this.#min, max: this.#max };
  }
}

/** Levels of a whole array at once. */
export function levelsOf(samples: Float64Array): Levels {
  const meter = new LevelMeter();
  meter.push(samples);
  return meter.result();
}

/** dBFS of an RMS in fractions of full scale: a full-scale sine reads 0 (AES17, IEC 61606). −∞ for 0. */
export const dbfs = (rms: number): number => 20 * Math.log10(rms * Math.SQRT2);

/** dBV of an RMS in volts: re 1 V. */
export const dbv = (volts: number): number => 20 * Math.log10(volts);

/** dBu of an RMS in volts: re √0.6 V, the voltage of 1 mW in 600 Ω. */
export const dbu = (volts: number): number => 20 * Math.log10(volts / Math.sqrt(0.6));

import type { Rails } from './recording';

/** Frames in a row at a rail that make a run. Common practice, no source. */
const shortest = 3;

/**
 * A full-scale sine rounded to integers may dwell at its top code for some samples, but arrives there by at most a couple of
 * steps; a wave cut off arrives at speed. Follows from the parabola at a sine's top, with two steps to spare for noise.
 */
const arrival = 4;

/**
 * Counts clipped runs of one channel as a stream: three or more frames in a row at the format's lowest or highest value,
 * reached from more than four steps away within the two frames before. Where the format has no steps (float) all frames of a
 * run must be equal instead.
 */
export class ClipCounter {
  #runs = 0;
  #length = 0;
  #top = false;
  #value = 0;
  #steep = false;
  /** The last two samples before the run. */
  #last = Number.NaN;
  #before = Number.NaN;

  constructor(readonly rails: Rails) {}

  push(block: Float64Array, length = block.length): void {
    const { low, high } = this.rails;
    for (let i = 0; i < length; i++) {
      const x = block[i]!;
      if (x < high && x > low) {
        if (this.#length > 0) this.#close();
        this.#before = this.#last;
        this.#last = x;
      } else this.#touch(x, x >= high);
    }
  }

  #touch(x: number, top: boolean): void {
    const same = this.#length > 0 && top === this.#top && (this.rails.step !== null || x === this.#value);
    if (!same) {
      if (this.#length > 0) {
        // Straight from one rail to the other: the run that ends is what this one is reached from.
        this.#before = this.#last = this.#value;
        this.#close();
      }
      this.#top = top;
      this.#value = x;
      const rise = Math.max(Math.abs(x - this.#last), Math.abs(this.#last - this.#before));
      const { step } = this.rails;
      this.#steep = step === null || !(rise <= arrival * step);
    }
    this.#length++;
  }

  #close(): void {
    if (this.#length >= shortest && this.#steep) this.#runs++;
    this.#length = 0;
  }

  /** Runs so far, one still open included. */
  get runs(): number {
    return this.#runs + (this.#length >= shortest && this.#steep ? 1 : 0);
  }
}

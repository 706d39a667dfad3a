import type { Rails } from './recording';

/** Different values kept at most: those of 12 bits. A column with more says nothing about its converter. */
const most = 4096;

/** Bits that converters of oscilloscopes have. */
const widths = [8, 10, 12] as const;

/** Steps that the two nearest of the values met may be apart. */
const mostApart = 4;

/** A value is on the grid of steps if it lies within this share of a step. */
const slack = 0.1;

/**
 * A sine that just fits spends at most 1/(√2−1) = 2.4 times as long in its topmost code as in the next (its top is a parabola);
 * a wave cut off there spends far longer.
 */
const dwells = 4;

/**
 * Finds out from a column's own values where the converter behind it ran out of codes. Values come in whole steps; where they span
 * all codes of 8, 10 or 12 bits (or all but one, for some converters leave it out), or reach the last code to one side of zero,
 * that is a rail. A stream: `push` blocks, then `rails`.
 */
export class CodeRails {
  readonly #counts = new Map<number, number>();
  #crowded = false;

  push(values: Float64Array, rows: number): void {
    for (let i = 0; i < rows && !this.#crowded; i++) {
      const value = values[i]!;
      this.#counts.set(value, (this.#counts.get(value) ?? 0) + 1);
      if (this.#counts.size > most) {
        this.#crowded = true;
        this.#counts.clear();
      }
    }
  }

  /** The rails found, ±Infinity for an end that is none; null where neither is one. */
  rails(): Rails | null {
    const values = [...this.#counts.keys()].sort((a, b) => a - b);
    const step = stepOf(values);
    if (step === null) return null;
    const [lowest, highest] = [values[0]!, values.at(-1)!];
    const full = widths.some((bits) => {
      const span = Math.round((highest - lowest) / step);
      return span === 2 ** bits - 1 || span === 2 ** bits - 2;
    });
    const end = (value: number) => {
      const code = value / step;
      const whole = Math.abs(code - Math.round(code)) < slack;
      return (
        whole && widths.some((bits) => [2 ** (bits - 1), 2 ** (bits - 1) - 1].includes(Math.abs(Math.round(code))))
      );
    };
    const isLow = full || (lowest < 0 && end(lowest));
    const isHigh = full || (highest > 0 && end(highest));
    if (!isLow && !isHigh) return null;
    // Told to be cut off by how long it stays there, it may have come as slowly as it likes.
    const stays = (value: number, next: number) => this.#at(value) > dwells * this.#at(next, step);
    const cut = (!isLow || stays(lowest, lowest + step)) && (!isHigh || stays(highest, highest - step));
    return {
      low: isLow ? lowest : Number.NEGATIVE_INFINITY,
      high: isHigh ? highest : Number.POSITIVE_INFINITY,
      step: cut ? null : step,
    };
  }

  /** How often a value was there, or what is nearest to it within half a step. */
  #at(value: number, step = 0): number {
    const exact = this.#counts.get(value);
    if (exact !== undefined) return exact;
    for (const [other, times] of this.#counts) if (Math.abs(other - value) < step / 2) return times;
    return 0;
  }
}

/** The step all values are whole multiples of apart; null where there is none. `values` rise. */
function stepOf(values: readonly number[]): number | null {
  let smallest = Number.POSITIVE_INFINITY;
  for (let i = 1; i < values.length; i++) smallest = Math.min(smallest, values[i]! - values[i - 1]!);
  if (!(smallest > 0) || !Number.isFinite(smallest)) return null;
  // Of many codes few are met: the smallest difference may be some steps.
  for (let steps = 1; steps <= mostApart; steps++) {
    const step = onGrid(values, smallest / steps);
    if (step !== null) return step;
  }
  return null;
}

/** The step made exact if all values are whole multiples of it apart, else null. */
function onGrid(values: readonly number[], about: number): number | null {
  let step = about;
  for (const value of values) {
    const apart = value - values[0]!;
    const steps = Math.round(apart / step);
    if (Math.abs(apart / step - steps) > slack) return null;
    // Printed with few digits, the smallest difference is a poor measure; the farther apart, the better.
    if (steps > 0) step = apart / steps;
  }
  return step;
}

/** What a time column says about the spacing of the rows. */
export interface Spacing {
  /** Seconds from row to row, on average; null where time does not advance. */
  readonly increment: number | null;
  readonly even: boolean;
  /** Whether it never runs backwards. */
  readonly rises?: boolean;
  /** What is wrong with it, in words; null where nothing is. */
  readonly text: string | null;
}

/**
 * Judges a time column as a stream: every block against its own chord, then the ends of the blocks against the whole. A row may
 * be off by a quarter of a step, or by one unit of the last place where the column is printed so coarsely that it shows.
 */
export class TimeAxis {
  #first = Number.NaN;
  #last = Number.NaN;
  #rows = 0;
  #repeats = 0;
  #backwards = 0;
  #smallest = Number.POSITIVE_INFINITY;
  #largest = 0;
  #offChord = 0;
  readonly #ends: { readonly row: number; readonly time: number }[] = [];

  /** @param factor from the column's unit to seconds. */
  constructor(readonly factor: number) {}

  push(times: Float64Array, rows: number): void {
    if (rows === 0) return;
    const from = times[0]!;
    const to = times[rows - 1]!;
    const slope = rows > 1 ? (to - from) / (rows - 1) : 0;
    let last = this.#last;
    for (let i = 0; i < rows; i++) {
      const step = times[i]! - last;
      if (step === 0) this.#repeats++;
      else if (step < 0) this.#backwards++;
      else if (step > 0) {
        if (step < this.#smallest) this.#smallest = step;
        if (step > this.#largest) this.#largest = step;
      }
      last = times[i]!;
      const off = Math.abs(last - from - slope * i);
      if (off > this.#offChord) this.#offChord = off;
    }
    if (this.#rows === 0) this.#first = from;
    this.#ends.push({ row: this.#rows, time: from }, { row: this.#rows + rows - 1, time: to });
    this.#last = to;
    this.#rows += rows;
  }

  /** One unit of the last printed place, where steps come in whole multiples of it; 0 where they do not. */
  #lastPlace(): number {
    if (this.#repeats > 0) return this.#smallest;
    const unit = this.#largest - this.#smallest;
    const multiple = this.#smallest / unit;
    // Less than once the smallest step: a gap, and no last place.
    return unit > 0 && multiple > 0.99 && Math.abs(multiple - Math.round(multiple)) < 0.01 ? unit : 0;
  }

  spacing(): Spacing {
    const step = (this.#last - this.#first) / (this.#rows - 1);
    if (!(step > 0)) return { increment: null, even: false, text: 'the time column does not advance' };
    const allowed = Math.max(0.25 * step, 1.01 * this.#lastPlace());
    const off = Math.max(
      this.#offChord,
      ...this.#ends.map(({ row, time }) => Math.abs(time - this.#first - step * row)),
    );
    const increment = step * this.factor;
    const seconds = (value: number) => `${(value * this.factor).toPrecision(3)} s`;
    if (this.#backwards > 0) {
      const text = `time runs backwards ${this.#backwards} times: several records in one file, or sorted wrongly`;
      return { increment, even: false, text };
    }
    if (off <= allowed) return { increment, even: true, text: null };
    const text =
      `samples are not evenly spaced in time (steps from ${seconds(this.#repeats ? 0 : this.#smallest)} to ` +
      `${seconds(this.#largest)}): tones are fitted at the times as written, and no spectrum, noise or delay is given`;
    return { increment, even: false, rises: true, text };
  }
}

/** Counting stops here: enough levels to be no concern. */
const most = 64;

/** Counts the different values of a channel, up to 64, as a stream: how finely a file without a stated step resolves it. */
export class LevelCount {
  readonly #seen = new Set<number>();
  #last = Number.NaN;

  push(block: Float64Array): void {
    for (let i = 0; i < block.length && this.#seen.size < most; i++) {
      const value = block[i]!;
      if (value === this.#last) continue;
      this.#last = value;
      this.#seen.add(value);
    }
  }

  /** How many, or null where there are 64 or more. */
  get levels(): number | null {
    return this.#seen.size < most ? this.#seen.size : null;
  }
}

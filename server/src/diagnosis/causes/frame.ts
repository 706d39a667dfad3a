/** One measured thing that may be wrong as a whole: a channel's phasor, a level, a reading. */
interface Block {
  readonly label: string;
  readonly from: number;
  readonly count: number;
  readonly broad: number;
}

/** Residuals of one hypothesis and their covariance, as they are put together. */
export class Frame {
  readonly residual: number[] = [];
  readonly variance: number[] = [];
  private readonly columns = new Map<string, { readonly at: number[]; readonly by: number[] }>();
  readonly blocks: Block[] = [];

  block(label: string, residuals: readonly number[], variances: readonly number[], broad: number): number {
    const from = this.residual.length;
    this.residual.push(...residuals);
    this.variance.push(...variances);
    this.blocks.push({ label, from, count: residuals.length, broad });
    return from;
  }

  /** A shared unknown, one standard deviation up, moves a figure; what is nothing beside the figure's own deviation is left out. */
  move(name: string, at: number, by: number): void {
    if (by * by < 1e-8 * this.variance[at]!) return;
    const column = this.columns.get(name);
    if (column) {
      column.at.push(at);
      column.by.push(by);
    } else this.columns.set(name, { at: [at], by: [by] });
  }

  covariance(): Float64Array {
    const size = this.residual.length;
    const k = new Float64Array(size * size);
    for (let i = 0; i < size; i++) k[i * size + i] = this.variance[i]!;
    for (const { at, by } of this.columns.values())
      for (let m = 0; m < at.length; m++) {
        const row = at[m]! * size;
        const step = by[m]!;
        for (let n = 0; n < at.length; n++) k[row + at[n]!]! += step * by[n]!;
      }
    return k;
  }
}

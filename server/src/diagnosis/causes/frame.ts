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
  readonly columns = new Map<string, number[]>();
  readonly blocks: Block[] = [];

  block(label: string, residuals: readonly number[], variances: readonly number[], broad: number): number {
    const from = this.residual.length;
    this.residual.push(...residuals);
    this.variance.push(...variances);
    this.blocks.push({ label, from, count: residuals.length, broad });
    return from;
  }

  move(name: string, at: number, by: number): void {
    if (by === 0) return;
    let column = this.columns.get(name);
    if (!column) {
      column = [];
      this.columns.set(name, column);
    }
    column[at] = (column[at] ?? 0) + by;
  }

  covariance(): Float64Array {
    const size = this.residual.length;
    const k = new Float64Array(size * size);
    for (let i = 0; i < size; i++) k[i * size + i] = this.variance[i]!;
    for (const column of this.columns.values()) {
      const places: number[] = [];
      for (let i = 0; i < column.length; i++) if (column[i] !== undefined) places.push(i);
      for (const i of places) for (const j of places) k[i * size + j]! += column[i]! * column[j]!;
    }
    return k;
  }
}

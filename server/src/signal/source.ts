/**
 * The only way a file comes into this room: a length, and bytes on request. Whoever opens the file (disk, editor, browser)
 * supplies one; `read` may be asked for any range inside the file and in any order.
 */
export interface ByteSource {
  /** Length in bytes. */
  readonly size: number;
  /**
   * The bytes from `from` (inclusive) to `to` (exclusive). May give fewer than asked for where the file turned out shorter;
   * rejects when the file cannot be read.
   */
  read(from: number, to: number): Promise<Uint8Array>;
}

/** A source over bytes already in memory. */
export const memorySource = (bytes: Uint8Array): ByteSource => ({
  size: bytes.length,
  read: async (from, to) => bytes.subarray(from, to),
});

/** How a long computation is steered from outside. Both calls are cheap; `progress` is told a fraction from 0 to 1. */
export interface Control {
  cancelled(): boolean;
  progress(fraction: number): void;
}

/** Thrown inside long loops once `cancelled()` says so, and turned into an outcome by whoever started them. */
export class Cancelled extends Error {
  constructor() {
    super('cancelled');
  }
}

/** Checks for cancellation and reports progress; the loops of this room call it once a block. */
export function checkpoint(control: Control | undefined, fraction: number): void {
  if (control === undefined) return;
  if (control.cancelled()) throw new Cancelled();
  control.progress(fraction);
}

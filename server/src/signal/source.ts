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

/** How a long computation is steered from outside; all calls are cheap. */
export interface Control {
  cancelled(): boolean;
  /** Told a fraction from 0 to 1, never falling. */
  progress(fraction: number): void;
  /** Lets others run on this thread, where the computation shares one. */
  pause?(): Promise<void>;
}

/** Thrown inside long loops once `cancelled()` says so, and turned into an outcome by whoever started them. */
export class Cancelled extends Error {
  constructor() {
    super('cancelled');
  }
}

/** Thrown when the source rejects: the file is gone, a folder, or barred. */
export class Unreadable extends Error {}

/** The source with its rejections marked as such, so that they are told from bugs. */
export const guarded = (source: ByteSource): ByteSource => ({
  size: source.size,
  read: (from, to) =>
    source.read(from, to).catch((reason: unknown) => {
      throw new Unreadable(reason instanceof Error ? reason.message : String(reason));
    }),
});

/** Checks for cancellation, reports progress, lets others run; the loops of this room await it once a block. */
export async function checkpoint(control: Control | undefined, fraction: number): Promise<void> {
  if (control === undefined) return;
  if (control.cancelled()) throw new Cancelled();
  control.progress(fraction);
  await control.pause?.();
}

/** A part of a larger computation: its fractions fall between `from` and `to` of the whole. */
export const partOf = (control: Control | undefined, from: number, to: number): Control | undefined =>
  control && { ...bound(control), progress: (fraction) => control.progress(from + (to - from) * fraction) };

const bound = (control: Control): Control => ({
  cancelled: () => control.cancelled(),
  progress: (fraction) => control.progress(fraction),
  ...(control.pause ? { pause: () => control.pause!() } : {}),
});

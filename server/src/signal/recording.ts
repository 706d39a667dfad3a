import type { Warning } from './figures';
import type { ByteSource, Control } from './source';

/** One column or channel as the file gives it. */
export interface RecordedChannel {
  /** The number it goes by ("1"), or the name of a CSV column. */
  readonly name: string;
  /** What the samples count in: fractions of full scale (WAV), or the unit a CSV column states (null where it states none). */
  readonly unit: 'FS' | 'V' | 'A' | null;
  /** From the numbers as they are written to that unit: 0.001 for a CSV column in mV. Samples come already in the unit. */
  readonly factor: number;
  /** Where its recorder clips; null where unknown. */
  readonly rails: Rails | null;
}

/** The lowest and highest value a recorder can give (±Infinity where only the other is known), in the channel's unit. */
export interface Rails {
  readonly low: number;
  readonly high: number;
  /** One of its steps; null where it has none, or where runs at its rails are known to be clipped however slowly they are reached. */
  readonly step: number | null;
}

/** Frames of a recording, one array a channel, all equally long. The arrays are reused: good until the next block is asked for. */
export type Block = readonly Float64Array[];

/** A recording opened for reading: what its header says, and its samples as a stream. */
export interface Recording {
  /** In words: "WAV, 16-bit integer". */
  readonly format: string;
  /** Sampling rate in Hz; 0 where the file states none (a CSV without any time). */
  readonly rate: number;
  /** Frames that are really there. */
  readonly frames: number;
  readonly channels: readonly RecordedChannel[];
  readonly warnings: readonly Warning[];
  /** False where samples are not evenly spaced in time: figures over frequency mean nothing then. */
  readonly even: boolean;
  /** The size of one step of the format (or of the values seen); null where it has none (float). */
  readonly step: number | null;
  /** Where samples are not even but their times rise: seconds of the first `frames` frames. */
  readonly times?: (frames: number) => Promise<Float64Array>;
  /** All frames from `from` (default 0) on, in order, in blocks of at most `blockFrames`. */
  blocks(from?: number, control?: Control): AsyncGenerator<Block>;
}

/** Frames in a full block. */
export const blockFrames = 1 << 16;

/** A reader opens a source, or says in words for the user why it is no such file. It rejects only when the source does. */
export type Reader = (source: ByteSource, control?: Control) => Promise<Recording | { readonly error: string }>;

/** Copies `frames` frames from `from` on out of a recording (fewer where it ends), one array a channel. */
export async function slice(recording: Recording, from: number, frames: number, control?: Control) {
  const count = Math.max(0, Math.min(frames, recording.frames - from));
  const out = recording.channels.map(() => new Float64Array(count));
  let at = 0;
  if (count === 0) return out;
  for await (const block of recording.blocks(from, control)) {
    const take = Math.min(count - at, block[0]!.length);
    for (let c = 0; c < out.length; c++) out[c]!.set(block[c]!.subarray(0, take), at);
    at += take;
    if (at >= count) break;
  }
  return out;
}

/** Frames `from` to `to` of a recording as a recording of their own, without the warnings of the whole. */
export function cut(recording: Recording, from: number, to: number): Recording {
  const frames = Math.max(0, Math.min(to, recording.frames) - from);
  return {
    ...recording,
    frames,
    times: undefined,
    warnings: [],
    async *blocks(start = 0, control) {
      let left = frames - start;
      if (left <= 0) return;
      for await (const block of recording.blocks(from + start, control)) {
        const take = Math.min(left, block[0]!.length);
        yield take === block[0]!.length ? block : block.map((channel) => channel.subarray(0, take));
        left -= take;
        if (left <= 0) return;
      }
    },
  };
}

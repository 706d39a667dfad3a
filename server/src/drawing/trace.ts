import { openCsv } from '../signal/csv';
import type { RecordingFigures } from '../signal/figures';
import { blockFrames, type Recording, slice } from '../signal/recording';
import { type ChannelRequest, type Selected, Selector, selectChannels } from '../signal/select';
import { type ByteSource, Cancelled, type Control, guarded, Unreadable } from '../signal/source';
import { openWav } from '../signal/wav';

/** Which part of a recording is to be drawn. Plain data. */
export interface TraceRequest {
  readonly format: 'wav' | 'csv';
  /** Default: every channel of the file. */
  readonly channels?: readonly ChannelRequest[];
  /** Seconds from its start; the whole recording where left out. */
  readonly part?: { readonly from: number; readonly to: number };
}

export interface TracedChannel {
  readonly name: string;
  readonly unit: 'V' | 'FS' | 'A';
  /** The lowest and highest sample of each column; one sample a column where `each` is 1, both arrays then the same. */
  readonly low: Float64Array;
  readonly high: Float64Array;
}

/** What is drawn of a recording: columns evenly spaced over time. */
export interface Trace {
  /** Seconds of the first column's first frame; frames where the recording states no time. */
  readonly from: number;
  /** Seconds, or frames, from one column to the next. */
  readonly step: number;
  /** Frames in a column. */
  readonly each: number;
  readonly timed: boolean;
  readonly channels: readonly TracedChannel[];
}

export type TraceOutcome = { readonly trace: Trace } | { readonly error: string; readonly cancelled?: true };

/** More frames than this are drawn as the extremes of so many columns. */
const mostColumns = 360;
/** Channels that can be told apart. */
const mostChannels = 4;

/**
 * Reads what is to be drawn: every frame where they are few, else the extremes of each column, so that no peak is lost between two
 * pixels. Memory does not grow with the length. Never rejects for what a file holds.
 */
export async function readTrace(source: ByteSource, request: TraceRequest, control?: Control): Promise<TraceOutcome> {
  try {
    const open = request.format === 'wav' ? openWav : openCsv;
    const recording = await open(guarded(source), control);
    if ('error' in recording) return recording;
    if (!recording.even) return { error: 'its samples are not evenly spaced in time' };
    const selected = selectChannels(recording, request.channels);
    if ('error' in selected) return selected;
    const { rate } = recording;
    const timed = rate > 0;
    const frame = (seconds: number) => Math.min(recording.frames, Math.max(0, Math.round(seconds * rate)));
    const [first, end] =
      request.part && timed ? [frame(request.part.from), frame(request.part.to) + 1] : [0, recording.frames];
    const frames = Math.min(end, recording.frames) - first;
    if (frames < 2) return { error: 'it is too short to be drawn' };
    const drawn = selected.slice(0, mostChannels);
    const each = Math.ceil(frames / mostColumns);
    const columns =
      each === 1
        ? await samples(recording, drawn, first, frames, control)
        : await extremes(recording, drawn, first, frames, each, control);
    if (columns.some(({ low, high }) => !low.every(Number.isFinite) || !high.every(Number.isFinite)))
      return { error: 'some of its samples are no numbers' };
    return {
      trace: {
        from: timed ? first / rate : first,
        step: timed ? each / rate : each,
        each,
        timed,
        channels: columns.map(({ low, high }, i) => ({ name: drawn[i]!.name, unit: drawn[i]!.unit, low, high })),
      },
    };
  } catch (reason) {
    if (reason instanceof Cancelled) return { error: 'cancelled', cancelled: true };
    if (reason instanceof Unreadable) return { error: `the file cannot be read: ${reason.message}` };
    throw reason;
  }
}

interface Columns {
  readonly low: Float64Array;
  readonly high: Float64Array;
}

async function samples(
  recording: Recording,
  selected: readonly Selected[],
  first: number,
  frames: number,
  control?: Control,
): Promise<Columns[]> {
  const picked = new Selector(selected, frames).pick(await slice(recording, first, frames, control));
  return picked.map((values) => ({ low: values, high: values }));
}

async function extremes(
  recording: Recording,
  selected: readonly Selected[],
  first: number,
  frames: number,
  each: number,
  control?: Control,
): Promise<Columns[]> {
  const count = Math.ceil(frames / each);
  const selector = new Selector(selected, blockFrames);
  const columns = selected.map(() => ({
    low: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
    high: new Float64Array(count).fill(Number.NEGATIVE_INFINITY),
  }));
  let at = 0;
  for await (const block of recording.blocks(first, control)) {
    const picked = selector.pick(block);
    const take = Math.min(frames - at, block[0]!.length);
    for (const [c, { low, high }] of columns.entries()) {
      const values = picked[c]!;
      for (let i = 0; i < take; i++) {
        const column = Math.floor((at + i) / each);
        const value = values[i]!;
        if (value < low[column]!) low[column] = value;
        if (value > high[column]!) high[column] = value;
      }
    }
    at += take;
    if (at >= frames) break;
  }
  return columns;
}

/** How many periods of a tone show its shape and how two sides stand to each other. */
const periods = 3;

/**
 * The part of a recording worth drawing: a few periods of its tone, from a rising zero on, where it has one; undefined for the whole.
 * The zero is that of the strongest fitted sine: its phase counts from the start of the stretch it was fitted on.
 */
export function partWorthDrawing({ channels, stretch, sequence }: RecordingFigures): TraceRequest['part'] {
  if (!stretch || sequence) return undefined;
  const tones = channels.flatMap(({ tone }) => tone ?? []).sort((a, b) => b.amplitude - a.amplitude);
  const tone = tones[0];
  if (!tone || !(tone.frequency > 0)) return undefined;
  const turn = (((-tone.phase / 360) % 1) + 1) % 1;
  const from = stretch.from + turn / tone.frequency;
  const to = from + periods / tone.frequency;
  return to <= stretch.to ? { from, to } : undefined;
}

import { ClipCounter } from './clipping';
import type { Block, Recording } from './recording';

/** Which channel of a recording is measured, and how its samples become volts. Plain data. */
export interface ChannelRequest {
  /** Number from 1 on (of a CSV: among its columns of values), or name of a CSV column. */
  readonly plus: number | string;
  /** For a differential pair: what is taken off. */
  readonly minus?: number | string;
  /** What the figures call it; default the channel's own name. */
  readonly name?: string;
  /**
   * Volts per unit: of a WAV the volts at digital full scale (peak) times the probe's factor, of a CSV the probe's factor. Null
   * or left out: a WAV stays in fractions of full scale, a CSV in its own unit, volts where it states none.
   */
  readonly scale?: number | null;
  /** Of a CSV: volts per number as written, which goes before the unit the file states; 0.001 for a column in mV. */
  readonly written?: number;
  /** Default V for what is scaled. */
  readonly unit?: 'V' | 'A';
  /** Which side of the programme it stands for; default the first channel left, the second right. */
  readonly side?: 'left' | 'right' | null;
}

/** A channel as it is measured. */
export interface Selected {
  readonly name: string;
  readonly plus: number;
  readonly minus: number | null;
  readonly factor: number;
  readonly unit: 'V' | 'FS' | 'A';
  /** Peak of digital full scale in `unit`; null where unknown. */
  readonly fullScale: number | null;
  /** One step of the file's format in `unit`; null where it has none or it is unknown. */
  readonly step: number | null;
  readonly side: 'left' | 'right' | null;
}

/** Finds the channels asked for, every one of the recording by default. Says in words which one is not there. */
export function selectChannels(
  recording: Recording,
  requests: readonly ChannelRequest[] | undefined,
): Selected[] | { readonly error: string; readonly absent?: number | string } {
  const wanted = requests ?? recording.channels.map((_, i): ChannelRequest => ({ plus: i + 1 }));
  if (wanted.length === 0) return { error: 'no channel is asked for' };
  const chosen: Selected[] = [];
  for (const [i, request] of wanted.entries()) {
    const plus = find(recording, request.plus);
    const minus = request.minus === undefined ? null : find(recording, request.minus);
    const absent = plus < 0 ? request.plus : minus !== null && minus < 0 ? request.minus : null;
    if (absent !== null) {
      const names = recording.channels.map(({ name }) => name).join(', ');
      return { error: `the recording has no channel ${absent}: it has ${names}`, absent };
    }
    const scale = request.scale ?? null;
    const recorded = recording.channels[plus]!;
    const factor = (scale ?? 1) * (request.written === undefined ? 1 : request.written / recorded.factor);
    if (!Number.isFinite(factor) || factor === 0) return { error: `channel ${request.plus} has no usable scale` };
    const wav = recorded.unit === 'FS';
    const unit = request.unit ?? (wav ? (scale === null ? 'FS' : 'V') : recorded.unit === 'A' ? 'A' : 'V');
    const pair = minus === null ? null : `${recorded.name}−${recording.channels[minus]!.name}`;
    chosen.push({
      name: request.name ?? pair ?? recorded.name,
      plus,
      minus,
      factor,
      unit,
      fullScale: wav ? Math.abs(factor) * (minus === null ? 1 : 2) : null,
      step: recording.step === null ? null : recording.step * Math.abs(factor),
      side: request.side === undefined ? (i === 0 ? 'left' : i === 1 ? 'right' : null) : request.side,
    });
  }
  return chosen;
}

function find({ channels }: Recording, wanted: number | string): number {
  const text = String(wanted).trim().toLowerCase();
  const named = channels.findIndex(({ name }) => name.toLowerCase() === text);
  if (named >= 0 && typeof wanted === 'string') return named;
  const number = Number(text);
  return Number.isInteger(number) && number >= 1 && number <= channels.length ? number - 1 : named;
}

/** Turns blocks of the recording into blocks of the channels selected; its arrays are reused from block to block. */
export class Selector {
  readonly #buffers: (Float64Array | null)[];

  constructor(
    readonly selected: readonly Selected[],
    largest: number,
  ) {
    this.#buffers = selected.map(({ minus, factor }) =>
      minus === null && factor === 1 ? null : new Float64Array(largest),
    );
  }

  /** The selected channels of a block: the recording's own arrays where nothing is to be done to them. */
  pick(block: Block): Float64Array[] {
    const frames = block[0]!.length;
    return this.selected.map(({ plus, minus, factor }, i) => {
      const source = block[plus]!;
      const buffer = this.#buffers[i];
      if (!buffer) return source;
      const out = buffer.subarray(0, frames);
      if (minus === null) for (let n = 0; n < frames; n++) out[n] = source[n]! * factor;
      else {
        const other = block[minus]!;
        for (let n = 0; n < frames; n++) out[n] = (source[n]! - other[n]!) * factor;
      }
      return out;
    });
  }
}

/** Counts clipped runs of the recorded channels that the selected ones are made of; none where the rails are unknown. */
export class Clipping {
  readonly #counters = new Map<number, ClipCounter>();

  constructor(recording: Recording, selected: readonly Selected[]) {
    for (const { plus, minus } of selected)
      for (const channel of minus === null ? [plus] : [plus, minus]) {
        const { rails } = recording.channels[channel]!;
        if (rails) this.#counters.set(channel, new ClipCounter(rails));
      }
  }

  push(block: Block): void {
    for (const [channel, counter] of this.#counters) counter.push(block[channel]!);
  }

  /** Clipped runs under a selected channel, those of both legs together; null where the rails are unknown. */
  of({ plus, minus }: Selected): number | null {
    const legs = (minus === null ? [plus] : [plus, minus]).flatMap((leg) => this.#counters.get(leg) ?? []);
    return legs.length === 0 ? null : legs.reduce((sum, { runs }) => sum + runs, 0);
  }
}

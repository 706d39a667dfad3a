/** Most hops an envelope is divided into, so that its memory does not grow with the recording. */
const mostHops = 1 << 16;

/**
 * Mean and mean square of every channel over short hops: what the course of the level is judged from. The hop is 5 ms, shorter
 * where a record is short (256 hops) and longer where it is very long (65,536 hops).
 */
export class Envelope {
  readonly hop: number;
  readonly means: readonly Float64Array[];
  readonly squares: readonly Float64Array[];
  /** Whole hops so far. */
  hops = 0;
  #within = 0;
  readonly #sums: Float64Array;
  readonly #powers: Float64Array;

  constructor(
    readonly channels: number,
    readonly rate: number,
    readonly frames: number,
  ) {
    const wanted = Math.min(rate > 0 ? Math.round(0.005 * rate) : frames, Math.floor(frames / 256));
    this.hop = Math.max(1, wanted, Math.ceil(frames / mostHops));
    const hops = Math.floor(frames / this.hop);
    this.means = Array.from({ length: channels }, () => new Float64Array(hops));
    this.squares = Array.from({ length: channels }, () => new Float64Array(hops));
    this.#sums = new Float64Array(channels);
    this.#powers = new Float64Array(channels);
  }

  /** The next `length` frames of every channel. */
  push(block: readonly Float64Array[], length = block[0]?.length ?? 0): void {
    for (let at = 0; at < length && this.hops < this.means[0]!.length; ) {
      const take = Math.min(this.hop - this.#within, length - at);
      for (let c = 0; c < this.channels; c++) {
        const samples = block[c]!;
        let sum = 0;
        let power = 0;
        for (let i = at; i < at + take; i++) {
          const x = samples[i]!;
          sum += x;
          power += x * x;
        }
        this.#sums[c]! += sum;
        this.#powers[c]! += power;
      }
      at += take;
      this.#within += take;
      if (this.#within < this.hop) continue;
      for (let c = 0; c < this.channels; c++) {
        this.means[c]![this.hops] = this.#sums[c]! / this.hop;
        this.squares[c]![this.hops] = this.#powers[c]! / this.hop;
      }
      this.#sums.fill(0);
      this.#powers.fill(0);
      this.#within = 0;
      this.hops++;
    }
  }
}

/** Standard deviations of a channel's DC and RMS, from how its parts scatter. */
export interface LevelScatter {
  readonly dc: number;
  readonly rms: number;
}

/**
 * How sure DC and RMS are: the recording is cut into 16 equal parts, and the scatter of their figures over √16 is the standard
 * deviation of the whole's (batch means). Null where a part would be shorter than 8 hops.
 */
export function scatterOf(envelope: Envelope, channel: number): LevelScatter | null {
  const parts = 16;
  const each = Math.floor(envelope.hops / parts);
  if (each < 8) return null;
  const means = envelope.means[channel]!;
  const squares = envelope.squares[channel]!;
  const dcs: number[] = [];
  const powers: number[] = [];
  for (let p = 0; p < parts; p++) {
    let mean = 0;
    let square = 0;
    for (let i = p * each; i < (p + 1) * each; i++) {
      mean += means[i]! / each;
      square += squares[i]! / each;
    }
    dcs.push(mean);
    powers.push(Math.max(0, square - mean * mean));
  }
  const [, dcSd] = meanAndSd(dcs);
  const [power, powerSd] = meanAndSd(powers);
  const rms = power > 0 ? powerSd / Math.sqrt(parts) / (2 * Math.sqrt(power)) : 0;
  return { dc: dcSd / Math.sqrt(parts), rms };
}

function meanAndSd(values: readonly number[]): [number, number] {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return [mean, Math.sqrt(squares / (values.length - 1))];
}

import { blockFrames, type Recording } from '../../server/src/signal/recording';

/** Samples for tests, from closed forms and seeded draws. */

export interface SineOf {
  readonly rate: number;
  readonly frames: number;
  readonly frequency: number;
  readonly amplitude: number;
  readonly phase?: number;
  readonly dc?: number;
}

/** `dc + amplitude·sin(2π·frequency·t + phase)`. */
export const sine = ({ rate, frames, frequency, amplitude, phase = 0, dc = 0 }: SineOf): Float64Array =>
  Float64Array.from(
    { length: frames },
    (_, n) => dc + amplitude * Math.sin((2 * Math.PI * frequency * n) / rate + phase),
  );

/** Uniform draws in [0, 1) from a seed (mulberry32). */
export function uniform(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Gaussian draws of unit variance from a seed (Box–Muller). */
export function noise(seed: number): () => number {
  const draw = uniform(seed);
  return () => Math.sqrt(-2 * Math.log(1 - draw())) * Math.cos(2 * Math.PI * draw());
}

/** An array of Gaussian noise. */
export function noiseOf(seed: number, frames: number, rms = 1): Float64Array {
  const draw = noise(seed);
  return Float64Array.from({ length: frames }, () => rms * draw());
}

/** Channels added sample by sample. */
export const sum = (...arrays: Float64Array[]): Float64Array =>
  Float64Array.from({ length: arrays[0]!.length }, (_, n) => arrays.reduce((total, array) => total + array[n]!, 0));

/** A channel times a factor. */
export const times = (array: Float64Array, factor: number): Float64Array => array.map((value) => value * factor);

export interface WavOptions {
  readonly rate?: number;
  readonly bits?: 8 | 16 | 24 | 32;
  readonly float?: boolean;
}

/** A plain WAV file of the channels given: float 32 by default, else integers rounded and held within their range. */
export function wav(
  channels: readonly Float64Array[],
  { rate = 48000, bits = 32, float = bits === 32 }: WavOptions = {},
) {
  const frames = channels[0]!.length;
  const bytes = bits / 8;
  const align = bytes * channels.length;
  const out = new Uint8Array(44 + frames * align);
  const view = new DataView(out.buffer);
  const text = (at: number, value: string) => out.set(new TextEncoder().encode(value), at);
  text(0, 'RIFF');
  view.setUint32(4, out.length - 8, true);
  text(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, float ? 3 : 1, true);
  view.setUint16(22, channels.length, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * align, true);
  view.setUint16(32, align, true);
  view.setUint16(34, bits, true);
  text(36, 'data');
  view.setUint32(40, frames * align, true);
  const full = 2 ** (bits - 1);
  let at = 44;
  for (let n = 0; n < frames; n++) {
    for (const channel of channels) {
      const x = channel[n]!;
      const code = Math.max(-full, Math.min(full - 1, Math.round(x * full)));
      if (float) view.setFloat32(at, x, true);
      else if (bits === 8) view.setUint8(at, code + 128);
      else if (bits === 16) view.setInt16(at, code, true);
      else if (bits === 24) {
        view.setUint16(at, code & 0xffff, true);
        view.setInt8(at + 2, code >> 16);
      } else view.setInt32(at, code, true);
      at += bytes;
    }
  }
  return out;
}

/** Channels as a recording, without a file: full scale ±1, no steps. */
export const recordingOf = (channels: readonly Float64Array[], rate = 48000): Recording => ({
  format: 'made',
  rate,
  frames: channels[0]!.length,
  channels: channels.map((_, c) => ({ name: `${c + 1}`, unit: 'FS', factor: 1, rails: null })),
  warnings: [],
  even: true,
  step: null,
  async *blocks(from = 0) {
    for (let at = from; at < channels[0]!.length; at += blockFrames)
      yield channels.map((channel) => channel.subarray(at, at + blockFrames));
  },
});

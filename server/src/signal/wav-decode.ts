import type { WavFormat } from './wav-header';

/** Turns `frames` frames of interleaved bytes into one array a channel, full scale ±1. */
export type Decoder = (bytes: Uint8Array, frames: number, out: readonly Float64Array[]) => void;

/** µ-law to a fraction of full scale (ITU-T G.711 table 2a, decoded to 14 bits, scaled by 2^13). */
export function muLaw(code: number): number {
  const inverted = ~code & 0xff;
  const value = ((2 * (inverted & 15) + 33) << ((inverted >> 4) & 7)) - 33;
  return (inverted & 0x80 ? -value : value) / 2 ** 13;
}

/** A-law to a fraction of full scale (ITU-T G.711 table 1a, decoded to 13 bits, scaled by 2^12). */
export function aLaw(code: number): number {
  const bits = code ^ 0x55;
  const segment = (bits >> 4) & 7;
  const step = 2 * (bits & 15) + 1;
  const value = segment === 0 ? step : (step + 32) << (segment - 1);
  return (bits & 0x80 ? value : -value) / 2 ** 12;
}

/** Samples that the platform itself can view in place: the fast way for the common formats. */
type Samples = Int16Array | Int32Array | Float32Array | Float64Array;
type SamplesOf = new (buffer: ArrayBufferLike, offset: number, length: number) => Samples;

const platformIsLittle = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

function viewed(format: WavFormat, Type: SamplesOf, scale: number): Decoder {
  const { channels, bytes: size } = format;
  return (bytes, frames, out) => {
    const count = frames * channels;
    const aligned = bytes.byteOffset % size === 0 ? bytes : new Uint8Array(bytes);
    const samples = new Type(aligned.buffer, aligned.byteOffset, count);
    for (let c = 0; c < channels; c++) {
      const target = out[c]!;
      for (let i = 0, at = c; i < frames; i++, at += channels) target[i] = samples[at]! * scale;
    }
  };
}

/** One byte a sample, through a table. */
function tabled(format: WavFormat, value: (code: number) => number): Decoder {
  const { channels } = format;
  const table = Float64Array.from({ length: 256 }, (_, code) => value(code));
  return (bytes, frames, out) => {
    for (let c = 0; c < channels; c++) {
      const target = out[c]!;
      for (let i = 0, at = c; i < frames; i++, at += channels) target[i] = table[bytes[at]!]!;
    }
  };
}

/** 24 bits, either way round: common enough to have its own tight loop. */
function packed24({ channels, littleEndian }: WavFormat): Decoder {
  const [low, middle, high] = littleEndian ? [0, 1, 2] : [2, 1, 0];
  const scale = 2 ** -31;
  return (bytes, frames, out) => {
    for (let c = 0; c < channels; c++) {
      const target = out[c]!;
      for (let i = 0, at = 3 * c; i < frames; i++, at += 3 * channels) {
        target[i] = ((bytes[at + high!]! << 24) | (bytes[at + middle!]! << 16) | (bytes[at + low!]! << 8)) * scale;
      }
    }
  };
}

/** Any integer width and byte order, byte by byte from the most significant. */
function packed({ channels, bytes: size, littleEndian }: WavFormat): Decoder {
  const scale = 2 ** (1 - 8 * size);
  return (bytes, frames, out) => {
    for (let i = 0, at = 0; i < frames; i++) {
      for (let c = 0; c < channels; c++, at += size) {
        let value = 0;
        for (let k = 0; k < size; k++) {
          const byte = bytes[littleEndian ? at + size - 1 - k : at + k]!;
          value = k === 0 ? (byte << 24) >> 24 : value * 256 + byte;
        }
        out[c]![i] = value * scale;
      }
    }
  };
}

/** Floats in the other byte order than the platform's. */
function swappedFloats({ channels, bytes: size, littleEndian }: WavFormat): Decoder {
  return (bytes, frames, out) => {
    const view = new DataView(bytes.buffer, bytes.byteOffset, frames * channels * size);
    for (let i = 0, at = 0; i < frames; i++) {
      for (let c = 0; c < channels; c++, at += size) {
        out[c]![i] = size === 4 ? view.getFloat32(at, littleEndian) : view.getFloat64(at, littleEndian);
      }
    }
  };
}

/**
 * The decoder of a format. Integers are divided by 2^(N−1) of their container for both signs, so that an inverted pair nulls
 * exactly; samples of one byte are unsigned around 128.
 */
export function decoderOf(format: WavFormat): Decoder {
  const { coding, bytes, littleEndian } = format;
  const native = littleEndian === platformIsLittle;
  if (coding === 'mu-law') return tabled(format, muLaw);
  if (coding === 'a-law') return tabled(format, aLaw);
  if (coding === 'float') {
    if (!native) return swappedFloats(format);
    return viewed(format, bytes === 4 ? Float32Array : Float64Array, 1);
  }
  if (bytes === 1) return tabled(format, (code) => (code - 128) / 128);
  if (bytes === 2 && native) return viewed(format, Int16Array, 2 ** -15);
  if (bytes === 3) return packed24(format);
  if (bytes === 4 && native) return viewed(format, Int32Array, 2 ** -31);
  return packed(format);
}

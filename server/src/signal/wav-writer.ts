import { uniformDraws } from './draws';

/**
 * The bytes of a WAV file (PCM, little-endian, one or two channels). Samples are fractions of full scale, scaled by 2^(bits−1)
 * and held at the rails. 16 bits are dithered with seeded triangular noise of two steps peak to peak; digital silence stays so.
 *
 * @param channels one or two arrays of equal length.
 */
export function wavBytes(channels: readonly Float64Array[], rate: number, bits: 16 | 24, seed = 1): Uint8Array {
  const frames = channels[0]?.length ?? 0;
  const bytes = bits / 8;
  const align = bytes * channels.length;
  const data = frames * align;
  const out = new Uint8Array(44 + data + (data % 2));
  const view = new DataView(out.buffer);
  const text = (at: number, value: string) => {
    for (let i = 0; i < value.length; i++) out[at + i] = value.charCodeAt(i);
  };
  text(0, 'RIFF');
  view.setUint32(4, out.length - 8, true);
  text(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, channels.length, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * align, true);
  view.setUint16(32, align, true);
  view.setUint16(34, bits, true);
  text(36, 'data');
  view.setUint32(40, data, true);
  const full = 2 ** (bits - 1);
  const draw = uniformDraws(seed);
  let at = 44;
  for (let n = 0; n < frames; n++)
    for (const channel of channels) {
      const x = channel[n]! * full;
      const dither = bits === 16 && x !== 0 ? draw() - draw() : 0;
      const code = Math.max(-full, Math.min(full - 1, Math.round(x + dither)));
      view.setInt16(at, bits === 16 ? code : code & 0xffff, true);
      if (bits === 24) view.setInt8(at + 2, code >> 16);
      at += bytes;
    }
  return out;
}

import { writeFileSync } from 'node:fs';

/** Samples of a sine: peak amplitude as a fraction of full scale, phase in degrees. */
export const sine =
  (frequency: number, amplitude: number, phase = 0) =>
  (t: number): number =>
    amplitude * Math.sin(2 * Math.PI * frequency * t + (phase * Math.PI) / 180);

export const silent = (): number => 0;

/** A 16-bit WAV of functions of time in seconds, one a channel. */
export function wavBytes(channels: readonly ((t: number) => number)[], seconds = 0.5, rate = 48000): Buffer {
  const frames = Math.round(seconds * rate);
  const data = Buffer.alloc(frames * channels.length * 2);
  for (let n = 0; n < frames; n++)
    channels.forEach((channel, index) => {
      const value = Math.max(-32768, Math.min(32767, Math.round(channel(n / rate) * 32768)));
      data.writeInt16LE(value, (n * channels.length + index) * 2);
    });
  const head = Buffer.alloc(44);
  head.write('RIFF', 0);
  head.writeUInt32LE(36 + data.length, 4);
  head.write('WAVEfmt ', 8);
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(1, 20);
  head.writeUInt16LE(channels.length, 22);
  head.writeUInt32LE(rate, 24);
  head.writeUInt32LE(rate * channels.length * 2, 28);
  head.writeUInt16LE(channels.length * 2, 32);
  head.writeUInt16LE(16, 34);
  head.write('data', 36);
  head.writeUInt32LE(data.length, 40);
  return Buffer.concat([head, data]);
}

export const writeWav = (path: string, ...of: Parameters<typeof wavBytes>): void =>
  writeFileSync(path, wavBytes(...of));

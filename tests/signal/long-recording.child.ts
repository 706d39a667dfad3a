/**
 * Measures a recording that is made while it is read, and prints figures, seconds and memory as JSON. Arguments: format,
 * megabytes. A stereo 48 kHz 16-bit WAV, or a CSV of two columns: 997 Hz and its inverse with a little noise, the first tenth
 * silent, the second tenth 20 dB down.
 */
import { measure } from '../../server/src/signal/measure';
import type { ByteSource } from '../../server/src/signal/source';
import { noise } from './make';

const [format, megabytes] = [process.argv[2] as 'wav' | 'csv', Number(process.argv[3])];
const rate = 48000;
const draw = noise(1);

/** One second of a level: whole periods of 997 Hz, so that seconds join without a seam. */
function second(amplitude: number): Uint8Array {
  const samples = new Int16Array(2 * rate);
  const text = new Uint8Array(20 * rate);
  const encoder = new TextEncoder();
  for (let n = 0; n < rate; n++) {
    const x = amplitude * Math.sin((2 * Math.PI * 997 * n) / rate);
    for (const c of [0, 1]) {
      const value = (c ? -x : x) + 1e-4 * draw();
      samples[2 * n + c] = Math.round(value * 32767);
      if (format === 'csv')
        encoder.encodeInto(
          `${value < 0 ? '' : ' '}${value.toFixed(6)}${c ? '\n' : ','}`,
          text.subarray(20 * n + 10 * c),
        );
    }
  }
  return format === 'csv' ? text : new Uint8Array(samples.buffer);
}

const levels = [second(0), second(0.025), second(0.25)];
const secondBytes = levels[0]!.length;
const seconds = Math.round((megabytes * 1e6) / secondBytes / 10) * 10;

function header(): Uint8Array {
  if (format === 'csv') return new TextEncoder().encode(`Sample rate,${rate} Hz\nA (V),B (V)\n`);
  const out = new Uint8Array(44);
  const view = new DataView(out.buffer);
  const text = (at: number, value: string) => out.set(new TextEncoder().encode(value), at);
  text(0, 'RIFF');
  text(8, 'WAVEfmt ');
  text(36, 'data');
  view.setUint32(4, seconds * secondBytes + 36, true);
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 2, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, 4 * rate, true);
  view.setUint16(32, 4, true);
  view.setUint16(34, 16, true);
  view.setUint32(40, seconds * secondBytes, true);
  return out;
}

/**
 * What is held, garbage collected first: unlike the process' peak, it depends neither on when the collector ran nor on what else
 * the machine does.
 */
let held = 0;
let nextLook = 0;
function look(): void {
  globalThis.gc!();
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  held = Math.max(held, (heapUsed + arrayBuffers) / (1 << 20));
}

const head = header();
const size = head.length + seconds * secondBytes;
const source: ByteSource = {
  size,
  async read(from, to) {
    const out = new Uint8Array(Math.max(0, Math.min(to, size) - from));
    for (let at = 0; at < out.length; ) {
      const position = from + at - head.length;
      const which = Math.floor(position / secondBytes);
      const part = position < 0 ? head : levels[Math.min(2, Math.floor((10 * which) / seconds))]!;
      const start = position < 0 ? from + at : position - which * secondBytes;
      const piece = part.subarray(start, start + out.length - at);
      out.set(piece, at);
      at += piece.length;
    }
    if (from >= nextLook) {
      look();
      nextLook = from + size / 50;
    }
    return out;
  },
};

const started = performance.now();
const outcome = await measure(source, { format });
if ('error' in outcome) throw new Error(outcome.error);
const { channels, pairs, stretch, frames, warnings } = outcome.figures;
console.log(
  JSON.stringify({
    frames,
    seconds: (performance.now() - started) / 1000,
    megabytes: size / 1e6,
    held,
    peak: process.resourceUsage().maxRSS / 1024,
    rms: channels.map(({ rms }) => rms),
    frequency: channels[0]!.tone?.frequency,
    relation: pairs[0]!.relation,
    stretch,
    warnings: warnings.map(({ what }) => what),
  }),
);

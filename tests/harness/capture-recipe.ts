import { noiseOf, sine, sum, times, wav } from '../signal/make';

/**
 * A recording from a few readable lines: one line a channel, `1: sine 997 Hz -12 dBFS 180° + noise -90 dBFS`, and first, where
 * wanted, `seconds: 0.5` and `rate: 48000`. Terms: `sine FREQUENCY Hz LEVEL dBFS [PHASE°]`, `noise [NAME] LEVEL dBFS` (white;
 * one name is one signal, unnamed noises are unlike), `dc FRACTION`, `silence`; a leading `-` inverts,
 * `late FRAMES` delays, `flat SHARE` cuts at that share of the peak. A full-scale sine is 0 dBFS.
 */
export function captureOf(recipe: string): Uint8Array {
  const lines = recipe.split('\n').filter((line) => line.trim() !== '');
  const setting = (name: string, otherwise: number) => {
    const line = lines.find((candidate) => candidate.startsWith(`${name}:`));
    return line === undefined ? otherwise : Number(line.slice(name.length + 1));
  };
  const rate = setting('rate', 48000);
  const frames = Math.round(setting('seconds', 0.5) * rate);
  const channels = lines.filter((line) => /^\d+:/.test(line));
  return wav(
    channels.map((line, index) =>
      sum(
        ...line
          .replace(/^\d+:/, '')
          .split(' + ')
          .map((term, place) => termOf(term.trim(), rate, frames, 1000 * (index + 1) + place)),
      ),
    ),
    { rate, bits: 16 },
  );
}

const rms = (level: string) => 10 ** (Number(level) / 20) / Math.SQRT2;

function termOf(term: string, rate: number, frames: number, seed: number): Float64Array {
  if (term.startsWith('-')) return times(termOf(term.slice(1).trim(), rate, frames, seed), -1);
  const late = /^late (\d+) (.*)$/.exec(term);
  if (late) {
    const whole = termOf(late[2]!, rate, frames, seed);
    return Float64Array.from({ length: frames }, (_, n) => whole[n - Number(late[1])] ?? 0);
  }
  const flat = /^flat ([\d.]+) (.*)$/.exec(term);
  if (flat) {
    const whole = termOf(flat[2]!, rate, frames, seed);
    const top = Number(flat[1]) * whole.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    return whole.map((value) => Math.max(-top, Math.min(top, value)));
  }
  if (term === 'silence') return new Float64Array(frames);
  const tone = /^sine ([\d.]+) Hz (-?[\d.]+) dBFS(?: (-?[\d.]+)°)?$/.exec(term);
  if (tone)
    return sine({
      rate,
      frames,
      frequency: Number(tone[1]),
      amplitude: Math.SQRT2 * rms(tone[2]!),
      phase: (Number(tone[3] ?? 0) * Math.PI) / 180,
    });
  const hiss = /^noise (?:([a-z]+) )?(-?[\d.]+) dBFS$/.exec(term);
  if (hiss) return noiseOf(hiss[1] === undefined ? seed : seedOf(hiss[1]), frames, rms(hiss[2]!));
  const offset = /^dc (-?[\d.]+)$/.exec(term);
  if (offset) return new Float64Array(frames).fill(Number(offset[1]));
  throw new Error(`no such term in a capture: ${term}`);
}

const seedOf = (name: string) => [...name].reduce((seed, letter) => seed * 31 + letter.charCodeAt(0), 7);

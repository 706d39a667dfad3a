import { noiseOf, sine, sum, times, wav } from '../signal/make';

/**
 * A recording from a few readable lines: one line a channel, `1: sine 997 Hz -12 dBFS 180° + noise -90 dBFS`, and first, where
 * wanted, `seconds: 0.5`, `rate: 48000` and `cut: 0.5`, the share of the file that is left. Terms: `sine FREQUENCY Hz LEVEL dBFS [PHASE°]`, `noise [NAME] LEVEL dBFS` (white;
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
  const whole = wav(
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
  return whole.subarray(0, Math.round(whole.length * setting('cut', 1)));
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

/** A CSV of 2000 rows of a 997 Hz tone, 10 µs apart, `3 in 7`: every seventh row comes after three steps instead of one. */
export function csvOf(recipe: string): string {
  const [, steps, of] = /^(\d+) in (\d+)/.exec(recipe)!.map(Number) as [number, number, number];
  const rows = ['time,A'];
  for (let n = 0, t = 0; n < 2000; n++, t += 1e-5 * (n % of === 0 ? steps : 1))
    rows.push(`${t.toFixed(7)},${(0.5 * Math.sin(2 * Math.PI * 997 * t)).toFixed(6)}`);
  return `${rows.join('\n')}\n`;
}

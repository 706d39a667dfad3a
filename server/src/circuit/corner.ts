import type { Network } from './ac';
import { magnitude } from './complex';
import { type Path, transfer } from './transfer';

/** Magnitude at a frequency in Hz; null where there is none. */
export type Gain = (hertz: number) => number | null;

/** Half the power: exactly 1/√2, −3.0103 dB. */
const half = Math.SQRT1_2;
/** Octaves from 1 Hz between which a flat stretch is sought: 0.06 Hz to 1 MHz, and those heard: 16 Hz to 16 kHz. */
const sought = { from: -4, to: 20 };
const heard = { from: 4, to: 14 };
/** Octaves at which the search for a corner gives up: 1 mHz and 1 GHz. */
const ends = { 'high-pass': -10, 'low-pass': 30 } as const;

/**
 * The −3 dB frequency in Hz of the way from a source to a place, as the whole network with its loads makes it, sought
 * downwards (`high-pass`) or upwards (`low-pass`) from the passband. Null where the level never falls that far between
 * 1 mHz and 1 GHz, or nothing arrives.
 */
export function corner(network: Network, path: Path, kind: 'high-pass' | 'low-pass'): number | null {
  return cornerOf((hertz) => {
    const gain = transfer(network.at(hertz), path);
    return gain && magnitude(gain);
  }, kind);
}

/**
 * As `corner`, for any gain. The passband is where the level changes least over two octaves, among the places within 3 dB
 * of the loudest that is heard; a dip narrower than an octave is not seen.
 */
export function cornerOf(gain: Gain, kind: 'high-pass' | 'low-pass'): number | null {
  const at = (octave: number) => gain(2 ** octave) ?? 0;
  const levels = new Map<number, number>();
  for (let octave = sought.from; octave <= sought.to; octave++) levels.set(octave, at(octave));
  const loudest = Math.max(...[...levels].filter(([k]) => k >= heard.from && k <= heard.to).map(([, level]) => level));
  if (!(loudest > 0)) return null;

  let start: number | null = null;
  let flattest = Number.POSITIVE_INFINITY;
  for (let octave = sought.from + 1; octave < sought.to; octave++) {
    const level = levels.get(octave)!;
    if (level < loudest * half || level > loudest / half) continue;
    const sides = [levels.get(octave - 1)!, levels.get(octave + 1)!];
    const change = Math.max(...sides.map((side) => Math.abs(Math.log(side / level))));
    if (change < flattest) [start, flattest] = [octave, change];
  }
  if (start === null) return null;

  const target = levels.get(start)! * half;
  const step = kind === 'high-pass' ? -1 : 1;
  for (let octave = start; octave !== ends[kind]; octave += step) {
    const next = levels.get(octave + step) ?? at(octave + step);
    if (next <= target) return 2 ** crossing((x) => at(x) / target - 1, octave, octave + step);
  }
  return null;
}

/** A zero between two places of unlike sign: regula falsi with the Illinois step (Dowell and Jarratt, BIT 11, 1971; from memory). */
function crossing(f: (x: number) => number, a: number, b: number): number {
  let [left, right] = [a, b];
  let [fLeft, fRight] = [f(left), f(right)];
  for (let round = 0; round < 100; round++) {
    const x = fLeft === fRight ? (left + right) / 2 : right - (fRight * (right - left)) / (fRight - fLeft);
    const fx = f(x);
    if (Math.abs(fx) < 1e-13 || Math.abs(right - left) < 1e-13) return x;
    if (Math.sign(fx) === Math.sign(fRight)) fLeft /= 2;
    else [left, fLeft] = [right, fRight];
    [right, fRight] = [x, fx];
  }
  return right;
}

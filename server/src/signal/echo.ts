import { chirp, chirpTemplate } from './chirp';
import { fourier, powerOfTwoFrom } from './fft';
import type { FoundPart } from './sequence-finder';

/** A side's sound that comes once more. */
export interface Echo {
  readonly side: 'left' | 'right';
  /** Behind the first coming, s. */
  readonly delay: number;
  /** Against it, dB. */
  readonly level: number;
  readonly inverted: boolean;
}

/** Nearer than this the chirp's band does not part the two; later, the next chirp begins. Seconds. */
const [nearest, farthest] = [1.5e-3, 0.18];
/** Weaker than this it is not looked for, dB: the window's side lobes and what a clock's wander leaves lie below. */
const weakest = -36;
/** So far an echo stands above what is there at other delays, and above the dip before it: what rings on has no dip. */
const [aboveMedian, aboveDip] = [8, 3];
/** The same delay at both ends of the take, s. */
const alike = 1e-4;

/**
 * The strongest echo of either side, from the sync chirps: each is turned into an impulse response over the chirp's band by division
 * of spectra, and a second peak counts where every chirp of the side shows it at one delay. Null where none does.
 *
 * @param stretch of the recorder's clock.
 */
export function findEcho(
  channels: readonly Float64Array[],
  parts: readonly FoundPart[],
  rate: number,
  stretch: number,
): Echo | null {
  const echoes = (['left', 'right'] as const).flatMap((side): Echo[] => {
    const seen = parts
      .filter(({ stimulus }) => stimulus.kind === 'sweep' && stimulus.side === side)
      .map((part) => secondPeak(responseOf(channels, part, rate, stretch), rate));
    const [first, ...others] = seen;
    if (!first || others.length === 0) return [];
    const agree = others.every(
      (other) => other && Math.abs(other.delay - first.delay) < alike && other.inverted === first.inverted,
    );
    return agree ? [{ side, ...first }] : [];
  });
  return echoes.reduce<Echo | null>((best, echo) => (best && best.level >= echo.level ? best : echo), null);
}

/** Impulse response over the chirp's band, complex and interleaved, from the channel that hears the chirp louder. */
function responseOf(channels: readonly Float64Array[], part: FoundPart, rate: number, stretch: number): Float64Array {
  const template = chirpTemplate(rate, part.name.endsWith('left'), stretch).re;
  const from = Math.round(part.begins);
  const takes = channels.map((channel) =>
    channel.subarray(Math.max(0, from), from + template.length + Math.ceil(farthest * rate)),
  );
  const energy = (samples: Float64Array) => samples.reduce((sum, x) => sum + x * x, 0);
  const take = takes.reduce((best, next) => (energy(next) > energy(best) ? next : best));
  const size = powerOfTwoFrom(2 * template.length + take.length);
  const transformed = (samples: Float64Array) => {
    const padded = new Float64Array(size);
    padded.set(samples);
    return fourier(size).real(padded);
  };
  const [x, y] = [transformed(template), transformed(take)];
  const out = new Float64Array(2 * size);
  const [low, high] = [chirp.low * 1.2, chirp.high * 0.95];
  for (let k = Math.ceil((low * size) / rate); k <= (high * size) / rate; k++) {
    const i = 2 * k;
    const power = x[i]! ** 2 + x[i + 1]! ** 2;
    const place = ((k * rate) / size - low) / (high - low);
    const weight = (0.5 - 0.5 * Math.cos(2 * Math.PI * place)) / power;
    out[i] = weight * (x[i]! * y[i]! + x[i + 1]! * y[i + 1]!);
    out[i + 1] = weight * (x[i]! * y[i + 1]! - x[i + 1]! * y[i]!);
  }
  return fourier(size).inverse(out);
}

/** A second peak of an analytic impulse response, against its main one; null where none stands out. */
function secondPeak(response: Float64Array, rate: number): Omit<Echo, 'side'> | null {
  const size = response.length / 2;
  const at = (n: number) => 2 * ((n + size) % size);
  const height = (n: number) => Math.hypot(response[at(n)]!, response[at(n) + 1]!);
  let main = 0;
  const reach = Math.round(nearest * rate);
  for (let n = -reach; n <= reach; n++) if (height(n) > height(main)) main = n;
  const first = main + reach;
  const last = main + Math.floor(farthest * rate);
  const heights = Float64Array.from({ length: last - first }, (_, i) => height(first + i));
  let best = 1;
  let dip = heights[0]!;
  let dipBefore = dip;
  for (let i = 1; i < heights.length - 1; i++) {
    dip = Math.min(dip, heights[i]!);
    if (heights[i]! > heights[best]!) {
      best = i;
      dipBefore = dip;
    }
  }
  const median = heights.slice().sort()[heights.length >> 1]!;
  const peak = heights[best]!;
  const level = 20 * Math.log10(peak / height(main));
  if (!(level > weakest) || peak < aboveMedian * median || peak < aboveDip * dipBefore) return null;
  const [before, after] = [heights[best - 1]!, heights[best + 1] ?? 0];
  const bend = before - 2 * peak + after;
  const offset = bend < 0 ? (0.5 * (before - after)) / bend : 0;
  const echo = first + best;
  // In phase or inverted: the carrier's phase at the middle of the band turns with the rest of the delay and is taken out.
  const middle = (2 * Math.PI * (chirp.low * 1.2 + chirp.high * 0.95)) / 2 / rate;
  const turn = (n: number) => Math.atan2(response[at(n) + 1]!, response[at(n)]!);
  const phase = turn(echo) - turn(main) + middle * offset;
  return { delay: (echo + offset - main) / rate, level, inverted: Math.cos(phase) < 0 };
}

import { degrees } from './angle';
import { octaves } from './bands';
import { chirp } from './chirp';
import { fourier, powerOfTwoFrom } from './fft';
import type { Leak } from './separation';

/** A leak is there from this many deviations on. Common practice, no source. */
const evident = 4;

/**
 * What driven channels leave in undriven ones, octave by octave over the chirp's range, from one transform of each take:
 * H = Σ X*Y / Σ |X|² by least squares over the octave's bins, its deviation from what H·X leaves of Y.
 *
 * @param takes pairs of driven and undriven samples, each with one chirp.
 * @param step of the recorder, 0: none known.
 */
export function chirpLeaks(takes: readonly (readonly [Float64Array, Float64Array])[], rate: number, step = 0): Leak[] {
  if (takes.length === 0) return [];
  const size = powerOfTwoFrom(Math.max(...takes.map(([driven]) => driven.length)));
  const spectra = takes.map((take) => take.map((samples) => transform(samples, size)) as [Float64Array, Float64Array]);
  return octaves(chirp.low * 1.1, rate)
    .filter(([from, to]) => to <= chirp.high * 1.05 && to / from > 1.9)
    .flatMap(
      ([from, to]) => leakOf(spectra, (from * size) / rate, (to * size) / rate, Math.sqrt(from * to), step) ?? [],
    );
}

function transform(samples: Float64Array, size: number): Float64Array {
  const padded = new Float64Array(size);
  padded.set(samples);
  return fourier(size).real(padded);
}

function leakOf(
  spectra: readonly [Float64Array, Float64Array][],
  from: number,
  to: number,
  frequency: number,
  step: number,
): Leak | null {
  let [xx, yy, re, im, bins] = [0, 0, 0, 0, 0];
  for (const [x, y] of spectra)
    for (let i = 2 * Math.ceil(from); i < 2 * to; i += 2) {
      xx += x[i]! ** 2 + x[i + 1]! ** 2;
      yy += y[i]! ** 2 + y[i + 1]! ** 2;
      re += x[i]! * y[i]! + x[i + 1]! * y[i + 1]!;
      im += x[i]! * y[i + 1]! - x[i + 1]! * y[i]!;
      bins++;
    }
  if (!(xx > 0) || bins < 8) return null;
  const amplitude = Math.hypot(re, im) / xx;
  const left = Math.max(0, yy - (re * re + im * im) / xx);
  // A recorder's step, if nothing else, hides what is below: its rounding is noise of step²/12 a sample, spread over all bins.
  const rounding = ((step * step) / 12) * (spectra[0]![0].length / 2);
  const sd = Math.max(Math.sqrt(Math.max(left / (2 * (bins - 1)), rounding / 2) / xx), 1e-12);
  const floor = amplitude <= evident * sd;
  return {
    frequency,
    level: 20 * Math.log10(floor ? amplitude + 2 * sd : amplitude),
    levelSd: floor ? 0 : ((20 / Math.LN10) * sd) / amplitude,
    floor,
    phase: floor ? null : degrees(Math.atan2(im, re)),
    phaseSd: floor ? null : degrees(sd / amplitude),
  };
}

import { chirpLength, chirpTemplate, chirpWidth } from './chirp';
import { fourier, powerOfTwoFrom } from './fft';
import { type Control, checkpoint } from './source';

/** A chirp found in a recording. */
export interface Mark {
  readonly rising: boolean;
  /** Where it starts, in frames, and the standard deviation. */
  readonly at: number;
  readonly sd: number;
  /** Share of the energy around it that is the chirp, 0 … 1. */
  readonly score: number;
}

/** Share of energy from which a place is looked at. White noise of a second gives under a hundredth. Common practice, no source. */
const enough = 0.15;
/** Marks of one kind nearer than this to a better one are its side lobes, s. */
const apart = 0.1;

/**
 * Every chirp in a recording, by matched filter: the analytic chirp, so that neither polarity nor a turn of phase matters, over
 * both channels together, so that it does not matter in which the chirp is, or whether it was swapped or is opposed on both.
 * Scored by its share of the local energy: gain does not matter either.
 */
export async function findChirps(channels: readonly Float64Array[], rate: number, control?: Control): Promise<Mark[]> {
  const frames = channels[0]?.length ?? 0;
  const length = chirpLength(rate);
  if (frames < length || length < 64) return [];
  const size = powerOfTwoFrom(4 * length);
  const step = size - length + 1;
  const kinds = [true, false].map((rising) => ({
    rising,
    filter: filterOf(rate, rising, size),
    places: [] as Place[],
  }));
  const block = new Float64Array(size);
  const spectra = channels.map(() => new Float64Array(2 * size));
  const product = new Float64Array(2 * size);
  const matched = new Float64Array(2 * size);
  for (let from = 0; from + length <= frames; from += step) {
    await checkpoint(control, from / frames);
    const count = Math.min(step, frames - length + 1 - from);
    const energy = new Float64Array(count);
    channels.forEach((channel, c) => {
      block.fill(0);
      block.set(channel.subarray(from, from + size));
      fourier(size).real(block, spectra[c]);
      addRunningEnergy(block, length, energy);
    });
    for (const { filter, places } of kinds) {
      const power = new Float64Array(count);
      for (const spectrum of spectra) {
        multiplyConjugate(spectrum, filter.spectrum, product);
        fourier(size).inverse(product, matched);
        for (let n = 0; n < count; n++) power[n]! += matched[2 * n]! ** 2 + matched[2 * n + 1]! ** 2;
      }
      for (let n = 0; n < count; n++) {
        const score = energy[n]! > 0 ? power[n]! / (filter.energy * energy[n]!) : 0;
        if (score >= enough) keep(places, { at: from + n, score }, apart * rate);
      }
    }
  }
  return kinds
    .flatMap(({ rising, places }) => places.map(({ at }) => refine(channels, rate, rising, at, 1)))
    .filter((mark) => mark !== null)
    .sort((a, b) => a.at - b.at);
}

interface Place {
  readonly at: number;
  readonly score: number;
}

/** Keeps the best place of each neighbourhood; places come in rising order. */
function keep(places: Place[], place: Place, reach: number): void {
  const last = places.at(-1);
  if (!last || place.at - last.at > reach) places.push(place);
  else if (place.score > last.score) places[places.length - 1] = place;
}

/**
 * Times a chirp to a fraction of a frame near `at`, with the template stretched as the recorder's clock stretches it (an
 * unstretched one is some 30 µs off at 200 ppm, rising and falling in opposite senses). Null at the very ends of the recording.
 */
export function refine(
  channels: readonly Float64Array[],
  rate: number,
  rising: boolean,
  at: number,
  stretch: number,
): Mark | null {
  const { re, im } = chirpTemplate(rate, rising, stretch);
  const energy = (dot(re, re) + dot(im, im)) / 2;
  const power = (from: number) => {
    if (from < 0 || from + re.length > channels[0]!.length) return -1;
    let sum = 0;
    for (const channel of channels) {
      const part = channel.subarray(from, from + re.length);
      sum += dot(part, re) ** 2 + dot(part, im) ** 2;
    }
    return sum;
  };
  let best = Math.round(at);
  let height = power(best);
  for (let moved = true; moved; ) {
    moved = false;
    for (const next of [best - 1, best + 1]) {
      const other = power(next);
      if (other > height) {
        best = next;
        height = other;
        moved = true;
      }
    }
  }
  const [before, after] = [power(best - 1), power(best + 1)];
  if (height <= 0 || before < 0 || after < 0) return null;
  const bend = before - 2 * height + after;
  const offset = bend < 0 ? (0.5 * (before - after)) / bend : 0;
  let total = 0;
  for (const channel of channels) {
    const part = channel.subarray(best, best + re.length);
    total += dot(part, part);
  }
  const score = Math.min(1, height / energy / total);
  // Delay of a known waveform in white noise: σ²/(E·(2πβ)²), E its energy, β its RMS bandwidth (Cramér–Rao).
  const noise = (total * (1 - score)) / (channels.length * re.length);
  const sd = Math.sqrt(noise / (height / energy)) / (2 * Math.PI * chirpWidth);
  return { rising, at: best + offset, sd: Math.hypot(sd * rate, 0.01), score };
}

function filterOf(rate: number, rising: boolean, size: number) {
  const { re, im } = chirpTemplate(rate, rising);
  const complex = new Float64Array(2 * size);
  re.forEach((value, n) => {
    complex[2 * n] = value;
    complex[2 * n + 1] = im[n]!;
  });
  // A real chirp of amplitude A has half the energy of its analytic form, and meets it with A times that half.
  return { spectrum: fourier(size).forward(complex), energy: (dot(re, re) + dot(im, im)) / 2 };
}

function multiplyConjugate(a: Float64Array, b: Float64Array, out: Float64Array): void {
  for (let i = 0; i < a.length; i += 2) {
    out[i] = a[i]! * b[i]! + a[i + 1]! * b[i + 1]!;
    out[i + 1] = a[i + 1]! * b[i]! - a[i]! * b[i + 1]!;
  }
}

/** Adds to `energy[n]` what the samples n … n+length−1 hold. */
function addRunningEnergy(samples: Float64Array, length: number, energy: Float64Array): void {
  let sum = 0;
  for (let n = 0; n < length; n++) sum += samples[n]! ** 2;
  for (let n = 0; n < energy.length; n++) {
    // Rounding of a running sum could leave silence below zero.
    energy[n]! += Math.max(0, sum);
    sum += samples[n + length]! ** 2 - samples[n]! ** 2;
  }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let n = 0; n < a.length; n++) sum += a[n]! * b[n]!;
  return sum;
}

import { degrees, wrap } from './angle';
import type { Relation } from './figures';
import { measurePair } from './pair';
import { cut, type FoundPart } from './sequence-finder';
import type { StereoRow } from './stereo-table';
import { toneAt } from './tones';

/** A tone on both channels, complex against the tone as played, and how sure. Amplitudes are peaks. */
export interface PartTone {
  readonly part: FoundPart;
  /** Radians a sample. */
  readonly omega: number;
  readonly re: readonly [number, number];
  readonly im: readonly [number, number];
  readonly sd: readonly [number, number];
  readonly heard: readonly [boolean, boolean];
}

/** A tone is heard from this many deviations on. Common practice, no source. */
const evident = 4;
/** dB under which a channel counts as silent: against the other one, and both against the reference. As for relations. */
const silentBelow = -30;

/** Fits one part's tone, at a frequency in radians a sample, on both channels. Null where the part is too short. */
export function partTone(channels: readonly Float64Array[], part: FoundPart, omega: number): PartTone | null {
  const [first, second] = cut(channels, part).map((samples) => toneAt(samples, omega));
  if (!first || !second) return null;
  const least = 1e-12 * Math.max(first.amplitude, second.amplitude);
  const sd = [Math.max(first.sd.amplitude, least), Math.max(second.sd.amplitude, least)] as const;
  // Turned back to the tone's own start, so that parts can be compared.
  const turn = omega * (part.from - part.begins);
  const of = (amplitude: number, phase: number) => [
    amplitude * Math.cos(phase - turn),
    amplitude * Math.sin(phase - turn),
  ];
  const [a, b] = [of(first.amplitude, first.phase), of(second.amplitude, second.phase)];
  return {
    part,
    omega,
    re: [a[0]!, b[0]!],
    im: [a[1]!, b[1]!],
    sd,
    heard: [first.amplitude > evident * sd[0], second.amplitude > evident * sd[1]],
  };
}

/** Amplitude of a part’s tone in one of the two channels, in the channels’ unit. */
export const magnitude = ({ re, im }: PartTone, channel: 0 | 1): number => Math.hypot(re[channel], im[channel]);

const db = (ratio: number) => 20 * Math.log10(ratio);

/** The row of a tone; `reference` is an RMS, `step` the recorder's. */
export function toneRow(tone: PartTone, rate: number, reference: number, step: number): StereoRow {
  const { re, im, sd, heard } = tone;
  const peak = reference * Math.SQRT2;
  const seen = ([0, 1] as const).map((c) => {
    const amplitude = magnitude(tone, c);
    return heard[c] ? amplitude : Math.max(amplitude + 2 * sd[c], step / 2);
  });
  const level: [number, number] = [db(seen[0]! / peak), db(seen[1]! / peak)];
  const both = heard[0] && heard[1];
  const phase = both ? wrap(Math.atan2(im[1], re[1]) - Math.atan2(im[0], re[0])) : null;
  // A sum that cancels is known no better than the noise of its parts.
  const noise = Math.max(Math.hypot(...sd), step / 2) / 2;
  const half = (sign: 1 | -1) => Math.hypot(re[0] + sign * re[1], im[0] + sign * im[1]) / 2;
  return {
    part: tone.part.name,
    frequency: (tone.omega * rate) / (2 * Math.PI),
    level,
    heard,
    phase: phase === null ? null : degrees(phase),
    correlation: phase === null ? null : Math.cos(phase),
    mid: db(Math.max(half(1), noise) / peak),
    side: db(Math.max(half(-1), noise) / peak),
    relation: relationOf(level, phase),
  };
}

function relationOf([first, second]: readonly [number, number], phase: number | null): Relation {
  if (Math.max(first, second) < silentBelow) return 'both-silent';
  if (phase === null || Math.abs(first - second) > -silentBelow) return 'one-silent';
  if (Math.abs(phase) <= Math.PI / 4) return 'same';
  return Math.abs(phase) >= (3 * Math.PI) / 4 ? 'antiphase' : 'delayed';
}

/** The row of the unlike noise: levels over everything, less what silence holds. */
export function noiseRow(
  channels: readonly Float64Array[],
  part: FoundPart,
  rate: number,
  reference: number,
  noise: readonly [number, number],
): StereoRow {
  const [first, second] = cut(channels, part);
  const silence = Math.max(reference * 10 ** (silentBelow / 20), 2 * Math.max(...noise));
  const pair = measurePair(first!, second!, rate, { silence });
  const power = [0, 1].map((c) => Math.max(pair.rms[c]! ** 2 - noise[c]! ** 2, (noise[c]! * 0.1) ** 2, 1e-30));
  const silent = pair.relation === 'one-silent' || pair.relation === 'both-silent';
  return {
    part: part.name,
    frequency: null,
    level: [db(Math.sqrt(power[0]!) / reference), db(Math.sqrt(power[1]!) / reference)],
    heard: [pair.rms[0] > 2 * noise[0], pair.rms[1] > 2 * noise[1]],
    phase: pair.phase,
    correlation: silent ? null : pair.correlation,
    mid: db(Math.max(pair.mid, 1e-15) / reference),
    side: db(Math.max(pair.side, 1e-15) / reference),
    relation: pair.relation,
  };
}

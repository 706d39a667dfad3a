import { chirp, chirpAt, fadeAt } from './chirp';
import { gaussianDraws } from './draws';
import type { Stimulus } from './figures';

export type PartName =
  | 'open-left'
  | 'open-right'
  | 'left'
  | 'right'
  | 'both'
  | 'opposed'
  | 'low-left'
  | 'low-right'
  | 'unlike'
  | 'silence'
  | 'close-right'
  | 'close-left';

/** One part of the all-in-one recording. Times in seconds from the first sample of the file as written. */
export interface Part {
  readonly name: PartName;
  readonly stimulus: Stimulus;
  readonly from: number;
  readonly to: number;
}

/** 997 Hz shares no period with 44.1 or 48 kHz (AES17); at 61 Hz a coupling part a decade too small shows, and mains is not met. */
export const tones = { main: 997, low: 61 } as const;

const fade = 0.01;
const gap = 0.25;
const lead = 0.5;

/** What is played, in order, and for how long (s). */
const order: readonly [PartName, Stimulus, number][] = [
  // One side after the other: a chirp on both would vanish where the common return is open.
  ['open-left', { kind: 'sweep', side: 'left' }, chirp.seconds],
  ['open-right', { kind: 'sweep', side: 'right' }, chirp.seconds],
  ['left', { kind: 'tone', tone: tones.main, side: 'left' }, 2],
  ['right', { kind: 'tone', tone: tones.main, side: 'right' }, 2],
  ['both', { kind: 'tone', tone: tones.main, side: 'both' }, 2],
  ['opposed', { kind: 'tone', tone: tones.main, side: 'opposed' }, 2],
  ['low-left', { kind: 'tone', tone: tones.low, side: 'left' }, 1.5],
  ['low-right', { kind: 'tone', tone: tones.low, side: 'right' }, 1.5],
  ['unlike', { kind: 'noise', side: 'unlike' }, 3],
  ['silence', { kind: 'silence' }, 2],
  // The other way round than at the start, so that the two ends are told apart.
  ['close-right', { kind: 'sweep', side: 'right' }, chirp.seconds],
  ['close-left', { kind: 'sweep', side: 'left' }, chirp.seconds],
];

/** The parts of the all-in-one recording. Left's chirps rise, right's fall. */
export const parts: readonly Part[] = laidOut();

function laidOut(): Part[] {
  let at = lead;
  return order.map(([name, stimulus, seconds]) => {
    const from = at;
    at += seconds + gap;
    return { name, stimulus, from, to: from + seconds };
  });
}

export const sequenceSeconds = parts.at(-1)!.to + lead;

/** The part of the all-in-one recording of a name. */
export const partNamed = (name: PartName): Part => parts.find((part) => part.name === name)!;

/** Whether a chirp of this side rises. */
export const rises = (side: Stimulus['side']): boolean => side === 'left';

/** Signs of a tone on left and right. */
export const signs: Record<NonNullable<Stimulus['side']>, readonly [number, number]> = {
  left: [1, 0],
  right: [0, 1],
  both: [1, 1],
  opposed: [1, -1],
  unlike: [1, 1],
};

/** Noise is drawn up to so many deviations; it is as loud as the tone, unless its peaks would not fit. */
const noiseLimit = 3;
const noiseVariance = 0.9733; // of a Gaussian cut at 3 deviations
export const noiseRms = (amplitude: number): number => Math.min(amplitude / Math.SQRT2, 0.95 / noiseLimit);

/** Noise of that RMS for one side, from a seed. */
export function noiseSource(seed: number, amplitude: number): () => number {
  const draw = gaussianDraws(seed, noiseLimit);
  const scale = noiseRms(amplitude) / Math.sqrt(noiseVariance);
  return () => scale * draw();
}

/** A part `t` seconds from its start: a tone or chirp of amplitude 1, of noise its envelope. */
export function partAt({ stimulus, from, to }: Part, t: number): number {
  if (stimulus.kind === 'sweep') return chirpAt(t, rises(stimulus.side));
  if (stimulus.kind === 'tone') return fadeAt(t, to - from, fade) * Math.sin(2 * Math.PI * stimulus.tone! * t);
  return stimulus.kind === 'noise' ? fadeAt(t, to - from, fade) : 0;
}

/** The whole recording at a rate in Hz, tones of `level` dBFS (a full-scale sine is 0, AES17): left and right. */
export function renderSequence(rate: number, level: number): [Float64Array, Float64Array] {
  const amplitude = 10 ** (level / 20);
  const frames = Math.round(sequenceSeconds * rate);
  const out: [Float64Array, Float64Array] = [new Float64Array(frames), new Float64Array(frames)];
  for (const part of parts) {
    const { stimulus, from, to } = part;
    if (stimulus.kind === 'silence') continue;
    const [left, right] = signs[stimulus.side!];
    const noises = stimulus.kind === 'noise' ? [noiseSource(1, amplitude), noiseSource(2, amplitude)] : null;
    for (let n = Math.ceil(from * rate); n < to * rate; n++) {
      const value = partAt(part, n / rate - from);
      out[0][n] = value * left * (noises ? noises[0]!() : amplitude);
      out[1][n] = value * right * (noises ? noises[1]!() : amplitude);
    }
  }
  return out;
}

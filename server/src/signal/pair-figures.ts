import { degrees, wrap } from './angle';
import type { PairFigures, Stimulus } from './figures';
import type { PairMeasure } from './pair';
import type { Selected } from './select';
import { leakBetween, signOf } from './separation';
import type { SineFit } from './sine-fit';
import { stimulusTells } from './stimulus-tells';

/** Two channels fitted at one frequency over one stretch: first and second. */
export type TonePair = readonly [SineFit, SineFit];

export interface PairInput {
  readonly measured: PairMeasure;
  readonly channels: readonly [Selected, Selected];
  readonly stimulus: Stimulus | null;
  /** Null where there is no tone in either. */
  readonly tones: TonePair | null;
  /** False where samples are not evenly spaced in time, or the rate is unknown: nothing is said of time and frequency. */
  readonly timed: boolean;
}

/** A fit is of a tone, and not of noise, from this many standard deviations on. Common practice, no source. */
const evident = 4;

/** Puts the figures of a pair together: the streamed ones, and those that one tone, measured selectively, gives. */
export function pairFigures({ measured, channels, stimulus, tones, timed }: PairInput): PairFigures {
  const both = tones?.every(isEvident) ? tones : null;
  const tells = stimulusTells(stimulus);
  const leak = leakOf(measured, channels, stimulus, tones);
  return {
    channels: [channels[0].name, channels[1].name],
    relation: measured.relation,
    because: measured.because,
    correlation: measured.correlation,
    correlationSd: measured.correlationSd,
    coherence: measured.coherence,
    phase: both ? degrees(wrap(both[1].phase - both[0].phase)) : measured.phase,
    phaseSd: both ? degrees(Math.hypot(both[0].sd.phase, both[1].sd.phase)) : measured.phaseSd,
    balance: measured.balance,
    balanceSd: measured.balanceSd,
    delay: timed ? (measured.delay?.seconds ?? null) : null,
    delaySd: timed ? (measured.delay?.sd ?? null) : null,
    mid: measured.mid,
    side: measured.side,
    separation: leak && {
      firstDriven: leak.driven === 0 ? leak.separation : null,
      secondDriven: leak.driven === 1 ? leak.separation : null,
      floor: leak.floor,
    },
    crosstalk:
      leak?.phase == null ? null : { phase: leak.phase, sign: signOf(leak.phase), slope: timed ? leak.slope : null },
    bands: timed ? measured.bands : [],
    tells: { can: tells.can, cannot: tells.cannot },
  };
}

const isEvident = ({ amplitude, sd }: SineFit) => amplitude > evident * sd.amplitude;

interface Separated {
  readonly driven: 0 | 1;
  readonly separation: number;
  readonly floor: boolean;
  /** Of the undriven channel against the driven one, degrees; null where nothing but noise is there. */
  readonly phase: number | null;
  readonly slope: number | null;
}

/**
 * What the driven channel leaves in the other, where the stimulus drives one side: at the tone by sine fit, else the coherent
 * part of the undriven channel's power, band by band. Selective either way, so noise does not set the figure; where there is
 * nothing but noise, a lower bound (two standard deviations, or the coherence chance gives).
 */
function leakOf(
  measured: PairMeasure,
  channels: PairInput['channels'],
  stimulus: Stimulus | null,
  tones: TonePair | null,
) {
  if (stimulus?.side !== 'left' && stimulus?.side !== 'right') return null;
  const driven = channels[0].side === stimulus.side ? 0 : channels[1].side === stimulus.side ? 1 : null;
  if (driven === null || measured.relation === 'both-silent') return null;
  if (tones) return leakOfTone(tones, driven, channels[driven === 0 ? 1 : 0].step ?? 0);
  return stimulus.kind === 'tone' ? null : leakOfBands(measured, driven);
}

function leakOfTone(tones: TonePair, driven: 0 | 1, step: number): Separated | null {
  // Without noise to carry it, a tone of less than half a step leaves no trace.
  const leak = leakBetween(tones[driven], tones[driven === 0 ? 1 : 0], 0, step / 2);
  return leak && { driven, separation: -leak.level, floor: leak.floor, phase: leak.phase, slope: null };
}

function leakOfBands({ bands }: PairMeasure, driven: 0 | 1): Separated | null {
  const other = driven === 0 ? 1 : 0;
  const used = bands.filter((band) => band.rms[driven] > 0);
  const total = used.reduce((sum, band) => sum + band.rms[driven] ** 2, 0);
  if (!(total > 0)) return null;
  let power = 0;
  let heard = false;
  const cross = { re: 0, im: 0 };
  const points: [number, number][] = [];
  for (const band of used) {
    const significant = band.coherence > band.threshold;
    // Up to the threshold, so much of the undriven channel may be leak without showing.
    const part = (significant ? band.coherence : band.threshold) * band.rms[other] ** 2;
    power += part;
    heard ||= significant && band.carries;
    if (!significant || part === 0) continue;
    const weight = Math.sqrt(band.coherence) * band.rms[0] * band.rms[1];
    const angle = ((driven === 0 ? 1 : -1) * band.phase * Math.PI) / 180;
    cross.re += weight * Math.cos(angle);
    cross.im += weight * Math.sin(angle);
    points.push([Math.log10(Math.sqrt(band.from * band.to)), 10 * Math.log10(part / band.rms[driven] ** 2)]);
  }
  const separation = power > 0 ? 10 * Math.log10(total / power) : Number.POSITIVE_INFINITY;
  const phase = heard ? degrees(Math.atan2(cross.im, cross.re)) : null;
  return { driven, separation, floor: !heard, phase, slope: slopeOf(points) };
}

/** Least-squares slope in dB per decade over three bands or more. */
function slopeOf(points: readonly (readonly [number, number])[]): number | null {
  if (points.length < 3) return null;
  const n = points.length;
  const meanX = points.reduce((sum, [x]) => sum + x, 0) / n;
  const meanY = points.reduce((sum, [, y]) => sum + y, 0) / n;
  const xx = points.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0);
  const xy = points.reduce((sum, [x, y]) => sum + (x - meanX) * (y - meanY), 0);
  return xx > 0 ? xy / xx : null;
}

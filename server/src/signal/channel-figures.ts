import { degrees, wrap } from './angle';
import { bandPower } from './band-power';
import { type Distortion, distortionOf } from './distortion';
import type { ChannelFigures, Stimulus, ToneFigures } from './figures';
import { dbfs, dbu, dbv, type Levels } from './levels';
import { audioBand, type Density, densityOf, noiseFigures } from './noise';
import type { Selected } from './select';
import type { SineFit } from './sine-fit';
import { gathered, withoutSines } from './sines';
import { asSum, type ChannelTone, flatTopOf } from './tones';

/** All that is known of one channel once the recording has been gone through. */
export interface ChannelInput {
  readonly channel: Selected;
  readonly levels: Levels;
  readonly scatter: { readonly dc: number; readonly rms: number } | null;
  readonly clipped: number | null;
  /** 0 where frequency means nothing. */
  readonly rate: number;
  readonly stimulus: Stimulus | null;
  /** The stretch tone figures come from, in the channel's unit; null where there is none. */
  readonly samples: Float64Array | null;
  readonly tone: ChannelTone | null;
  /** Density over the whole recording. */
  readonly density: Density | null;
}

/** Stimuli that are themselves noise, so that a noise figure would be of the stimulus. */
const fills: readonly Stimulus['kind'][] = ['programme', 'sweep', 'noise', 'all-in-one'];

const finite = (value: number) => (Number.isFinite(value) ? value : null);

/** Puts the figures of one channel together. */
export function channelFigures(input: ChannelInput): ChannelFigures {
  const { channel, levels, scatter, clipped, rate, samples, tone } = input;
  const { unit } = channel;
  const { dc, rms, min, max } = levels;
  const swing = Math.max(max - dc, dc - min);
  const range = channel.fullScale === null ? null : 2 * channel.fullScale;
  const distortion = tone?.dominant && samples ? distortionOf(samples, tone.fit, range) : null;
  const left = distortion?.rest ?? (tone && samples ? withoutSines(samples, asSum(tone.fit)) : null);
  const residual = left && densityOf(gathered(left), rate);
  return {
    name: channel.name,
    unit,
    dc,
    rms,
    peak: Math.max(Math.abs(min), Math.abs(max)),
    min,
    max,
    crest: rms > 0 ? 20 * Math.log10(swing / rms) : null,
    clipped,
    level: {
      dbfs: unit === 'FS' ? finite(dbfs(rms)) : null,
      dbv: unit === 'V' ? finite(dbv(rms)) : null,
      dbu: unit === 'V' ? finite(dbu(rms)) : null,
    },
    tone: tone && toneFigures(tone.fit, distortion?.fundamental ?? tone.fit, rate),
    thd: distortion?.thd ?? null,
    harmonics: distortion?.harmonics ?? null,
    harmonicLevels: distortion?.harmonicLevels ?? [],
    thdn: distortion?.thdn ?? null,
    thdnAudio: distortion && residual ? thdnAudio(distortion, residual, rate) : null,
    sinad: distortion?.sinad ?? null,
    snr: distortion?.snr ?? null,
    enob: distortion?.enob ?? null,
    flatTop: distortion && samples ? flatTopOf(samples) : null,
    noise: noiseOf(input, residual),
    hum: null,
    combs: [],
    spurs: [],
    sd: { dc: scatter?.dc ?? null, rms: scatter?.rms ?? null, thd: distortion?.thdSd ?? null },
  };
}

/** The tone as fitted; its uncertainty is that of the fit alone, which follows the noise near its frequency. */
function toneFigures(
  { sd, parameters }: SineFit,
  { omega, amplitude, phase, residual }: SineFit,
  rate: number,
): ToneFigures {
  const hertz = rate / (2 * Math.PI);
  return {
    frequency: omega * hertz,
    amplitude,
    phase: degrees(wrap(phase)),
    residual,
    free: parameters === 4,
    sd: { frequency: sd.omega * hertz, amplitude: sd.amplitude, phase: degrees(sd.phase) },
  };
}

/** THD+N within 20 Hz–20 kHz: the harmonics there, and the noise there, over the whole. */
function thdnAudio({ fundamental: fit, harmonicLevels }: Distortion, residual: Density, rate: number): number {
  const frequency = (fit.omega * rate) / (2 * Math.PI);
  const fundamental = fit.amplitude ** 2 / 2;
  const harmonics = harmonicLevels.reduce((sum, level, i) => {
    const inside = (i + 2) * frequency <= audioBand[1];
    return inside ? sum + fundamental * 10 ** (level / 10) : sum;
  }, 0);
  const rest = harmonics + bandPower(residual.values, residual.binWidth, ...audioBand);
  return 10 * Math.log10(rest / (rest + fundamental));
}

/** Noise beside a tone is what it and its harmonics leave; without a tone the whole recording, unless it was filled. */
function noiseOf({ channel, stimulus, density, tone }: ChannelInput, residual: Density | null) {
  if (tone) return residual && noiseFigures(residual, channel.unit, 'residual');
  if (density === null || (stimulus && fills.includes(stimulus.kind))) return null;
  return noiseFigures(density, channel.unit, 'recording');
}

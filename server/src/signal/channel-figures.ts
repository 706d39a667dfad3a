import { degrees, wrap } from './angle';
import { bandPower } from './band-power';
import type { Distortion } from './distortion';
import type { ChannelFigures, ToneFigures } from './figures';
import { dbfs, dbu, dbv, type Levels } from './levels';
import { audioBand, type Density, densityOf, noiseFigures } from './noise';
import { type QuasiPeakReading, quasiPeakOf } from './quasi-peak';
import type { Selected } from './select';
import type { SineFit } from './sine-fit';
import { gathered, withoutSines } from './sines';
import { type SpectralFigures, spectralFigures } from './spectral-figures';
import { asSum, type ChannelTone, type Fitter, flatTopOf } from './tones';

/** All that is known of one channel once the recording has been gone through. */
export interface ChannelInput {
  readonly channel: Selected;
  readonly levels: Levels;
  readonly scatter: { readonly dc: number; readonly rms: number } | null;
  readonly clipped: number | null;
  /** Mean rate in Hz; 0 where none is known. */
  readonly rate: number;
  /** False where samples are not evenly spaced in time: there are tones then, and no spectra. */
  readonly even: boolean;
  readonly fitter: Fitter;
  /** Whether a stimulus was stated: unstated, a line where mains lies may be hum as well as a tone. */
  readonly stated: boolean;
  /** The stretch tone figures come from, in the channel's unit; null where there is none. */
  readonly samples: Float64Array | null;
  readonly tone: ChannelTone | null;
  /** Density over the whole recording. */
  readonly density: Density | null;
  /** The noise meter's reading over the whole recording, where it was taken. */
  readonly quasiPeak: QuasiPeakReading | null;
  /** Whether what is no tone is noise, hum and spurs: not where programme, a sweep or noise was played. */
  readonly idle: boolean;
}

const finite = (value: number) => (Number.isFinite(value) ? value : null);

/** Puts the figures of one channel together. */
export function channelFigures(input: ChannelInput): ChannelFigures {
  const { channel, levels, scatter, clipped, rate, even, fitter, samples, tone } = input;
  const { unit } = channel;
  const { dc, rms, min, max } = levels;
  const swing = Math.max(max - dc, dc - min);
  const range = channel.fullScale === null ? null : 2 * channel.fullScale;
  const distortion = tone?.dominant && samples ? fitter.distortion(samples, tone.fit, range) : null;
  const rest = even ? (distortion?.rest ?? (tone && samples ? withoutSines(samples, asSum(tone.fit)) : null)) : null;
  const left = rest && gathered(rest);
  const residual = left && densityOf(left, rate);
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
    noise: noiseOf(input, residual, left),
    ...spectral(input, left, distortion?.fundamental ?? null),
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

/** Noise beside a tone is what it and its harmonics leave; without a tone it is the whole recording. */
function noiseOf(input: ChannelInput, residual: Density | null, left: Float64Array | null) {
  const { channel, density, tone, idle, quasiPeak, rate } = input;
  if (tone) return residual && left && noiseFigures(residual, quasiPeakOf(left, rate), channel.unit, 'residual');
  return density && idle ? noiseFigures(density, quasiPeak, channel.unit, 'recording') : null;
}

/** Where mains and its ripple lie, within 1 %. */
const nearMains = (frequency: number) => [50, 60, 100, 120].some((mains) => Math.abs(frequency / mains - 1) < 0.01);

/**
 * Hum, combs and spurs: of what the tone leaves, relative to the tone; without one of all there is, relative to a full-scale sine
 * (to 1 V RMS where full scale is unknown). A tone nobody stated, where mains lies, may itself be the hum: it stays in.
 */
function spectral(input: ChannelInput, left: Float64Array | null, fundamental: SineFit | null): SpectralFigures {
  const { channel, samples, rate, even, idle, stated } = input;
  if (!samples || !even || !idle) return { hum: null, combs: [], spurs: [] };
  const frequency = fundamental ? (fundamental.omega * rate) / (2 * Math.PI) : undefined;
  const mayBeHum = !stated && frequency !== undefined && nearMains(frequency);
  const full = (channel.fullScale ?? Math.SQRT2) / Math.SQRT2;
  const reference = fundamental && !mayBeHum ? fundamental.amplitude / Math.SQRT2 : full;
  return spectralFigures(mayBeHum ? samples : (left ?? samples), rate, reference, frequency);
}

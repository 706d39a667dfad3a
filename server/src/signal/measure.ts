import { channelFigures } from './channel-figures';
import { openCsv } from './csv';
import { scatterOf } from './envelope';
import type { ChannelFigures, RecordingFigures, Stimulus, Warning } from './figures';
import { defaultPairs, gather, gatherQuasiPeaks } from './gather';
import { densityOf } from './noise';
import { pairFigures } from './pair-figures';
import type { Reader, Recording } from './recording';
import { remarks } from './remarks';
import { type ChannelRequest, type Selected, selectChannels } from './select';
import { sequenceFigures } from './sequence-figures';
import { type ByteSource, Cancelled, type Control, checkpoint, guarded, partOf, Unreadable } from './source';
import { chooseStretch, describeStretch, readStretch } from './stretch';
import { commonTone, evenFitter, tonesOf } from './tones';
import { unevenFitter } from './uneven-tone';
import { openWav } from './wav';

/** What is to be measured. Plain data. */
export interface MeasureRequest {
  readonly format: 'wav' | 'csv';
  /** Default: every channel of the file. */
  readonly channels?: readonly ChannelRequest[];
  /** Pairs of the channels asked for, counted from 0. Default: every pair of up to four channels, else the 1st and 2nd, 3rd and 4th … */
  readonly pairs?: readonly (readonly [number, number])[];
  readonly stimulus?: Stimulus | null;
  /** How the input was coupled: default AC for WAV, DC for CSV. An AC-coupled one says nothing about DC. */
  readonly coupling?: 'ac' | 'dc';
}

/** Figures, or in words for the user why there are none. */
export type MeasureOutcome =
  | { readonly figures: RecordingFigures }
  /** `absent`: the channel asked for that the file has not. */
  | { readonly error: string; readonly cancelled?: true; readonly absent?: number | string };

const readers: Record<MeasureRequest['format'], Reader> = { wav: openWav, csv: openCsv };

/** Frames that tones are fitted to where they are not evenly spaced: every one costs as many sines as there are harmonics. */
const mostUneven = 1 << 17;

/** Share of the work that opening a file takes: a CSV is gone through once for its length. */
const opening = { wav: 0, csv: 0.3 } as const;

/**
 * Measures a recording: levels, spectra and pairs over all of it, tone figures over its longest steady stretch of up to 2^20
 * frames. Memory does not grow with the length. Never rejects for what a file holds or how it is asked for.
 */
export async function measure(source: ByteSource, request: MeasureRequest, control?: Control): Promise<MeasureOutcome> {
  try {
    const opened = opening[request.format];
    const recording = await readers[request.format](guarded(source), partOf(control, 0, opened));
    if ('error' in recording) return recording;
    return await measureRecording(recording, request, partOf(control, opened, 1));
  } catch (reason) {
    if (reason instanceof Cancelled) return { error: 'cancelled', cancelled: true };
    if (reason instanceof Unreadable) return { error: `the file cannot be read: ${reason.message}` };
    throw reason;
  }
}

/** The sentences every report carries: what 0 dB is, what is left out of RMS, how many harmonics count. */
export const convention =
  'A full-scale sine is 0 dBFS (AES17; a full-scale square reads +3.01). RMS is without DC, peak with it. ' +
  'THD counts harmonics 2 to 10 over the fundamental; THD+N and SINAD cover the whole bandwidth. ' +
  'BS.468 noise is quasi-peak, with 0 dB at 1 kHz; CCIR-RMS is the same curve with 0 dB at 2 kHz, RMS (AES17).';

/** Measures a recording that has been opened, or a part cut out of one. Rejects with `Cancelled` and `Unreadable` alone. */
export async function measureRecording(
  recording: Recording,
  request: MeasureRequest,
  control?: Control,
): Promise<MeasureOutcome> {
  const selected = selectChannels(recording, request.channels);
  if ('error' in selected) return selected;
  const stimulus = request.stimulus ?? null;
  const gathered = await gather(
    recording,
    selected,
    request.pairs ?? defaultPairs(selected.length),
    partOf(control, 0, 0.8),
  );
  const timed = recording.rate > 0 && recording.even;
  const spectra = gathered.pairs.spectra();
  const uneven = recording.rate > 0 && recording.times !== undefined;
  const beginning = { from: 0, to: Math.min(recording.frames, mostUneven), steady: true };
  const stretch = timed ? chooseStretch(gathered.envelope, spectra, stimulus) : uneven ? beginning : null;
  const fitter = uneven && stretch ? unevenFitter(await recording.times!(stretch.to), recording.rate) : evenFitter;
  const samples = stretch && (await readStretch(recording, selected, stretch, partOf(control, 0.8, 0.85)));
  const seeks = stimulus === null || stimulus.kind === 'tone';
  const near = stimulus?.tone === undefined ? undefined : (2 * Math.PI * stimulus.tone) / recording.rate;
  const tones = samples && seeks ? tonesOf(samples, near, fitter) : selected.map(() => null);
  // Unstated, what keeps its level is taken for silence or a tone, and what does not for programme.
  const idle = stimulus === null ? stretch?.steady === true : stimulus.kind === 'silence' || stimulus.kind === 'tone';
  const whole = stretch !== null && stretch.to - stretch.from === recording.frames;
  const noisy = tones.map((tone) => timed && idle && tone === null);
  const quasiPeaks = await gatherQuasiPeaks(recording, selected, noisy, partOf(control, 0.85, 0.95));
  const channels: ChannelFigures[] = [];
  for (const [i, channel] of selected.entries()) {
    await checkpoint(control, 0.95 + (0.05 * i) / selected.length);
    // A finer spectrum where all of the recording is at hand anyway.
    const fine = whole && timed && samples ? densityOf(samples[i]!, recording.rate) : null;
    const streamed = timed && spectra.segments > 0 ? { values: spectra.auto[i]!, binWidth: spectra.binWidth } : null;
    channels.push(
      channelFigures({
        channel,
        levels: gathered.levels[i]!.result(),
        scatter: scatterOf(gathered.envelope, i),
        clipped: gathered.clipping.of(channel),
        rate: timed || uneven ? recording.rate : 0,
        even: timed,
        fitter,
        stated: stimulus !== null,
        samples: samples && samples[i]!,
        tone: tones[i]!,
        density: fine ?? streamed,
        quasiPeak: quasiPeaks[i]!,
        idle,
      }),
    );
  }
  const pairs = gathered.pairs.result().map((measured) => {
    const [a, b] = measured.pair;
    const common = samples && commonTone([samples[a]!, samples[b]!], [tones[a]!, tones[b]!], fitter);
    return pairFigures({ measured, channels: [selected[a]!, selected[b]!], stimulus, tones: common, timed });
  });
  const sequence = stimulus?.kind === 'all-in-one' ? await sequenceOf(recording, selected, request, control) : null;
  const missing: Warning[] = sequence && 'error' in sequence ? [{ what: 'no-sequence', text: sequence.error }] : [];
  const hasTone = tones.some((tone) => tone !== null);
  return {
    figures: {
      format: recording.format,
      rate: recording.rate,
      frames: recording.frames,
      duration: recording.rate > 0 ? recording.frames / recording.rate : 0,
      convention,
      stimulus,
      coupling: request.coupling ?? (request.format === 'wav' ? 'ac' : 'dc'),
      channels,
      pairs,
      stretch: stretch && (timed || hasTone) ? describeStretch(stretch, recording, hasTone) : null,
      sequence: sequence && 'segments' in sequence ? sequence : null,
      warnings: [
        ...recording.warnings,
        ...missing,
        ...remarks(recording, selected, gathered, channels, stretch, stimulus),
      ],
    },
  };
}

/** The all-in-one recording within a recording, each part of it measured as a recording of its own. */
function sequenceOf(
  recording: Recording,
  selected: readonly Selected[],
  request: MeasureRequest,
  control?: Control,
): ReturnType<typeof sequenceFigures> {
  const part = async (cutOut: Recording, stimulus: Stimulus) => {
    const outcome = await measureRecording(cutOut, { ...request, stimulus }, silent(control));
    return 'figures' in outcome ? outcome.figures : null;
  };
  return sequenceFigures(recording, selected, request.stimulus?.level, part, silent(control));
}

/** Cancelled as the whole is, but without progress of its own. */
const silent = (control: Control | undefined): Control | undefined =>
  control && { cancelled: () => control.cancelled(), progress: () => {}, pause: async () => control.pause?.() };

import { channelFigures } from './channel-figures';
import { openCsv } from './csv';
import { Envelope, scatterOf } from './envelope';
import type { PairFigures, RecordingFigures, Stimulus, Stretch, Warning } from './figures';
import { LevelCount } from './level-count';
import { LevelMeter } from './levels';
import { PairMeter } from './pair';
import { pairFigures, type TonePair } from './pair-figures';
import { blockFrames, type Reader, type Recording, slice } from './recording';
import { type ChannelRequest, Clipping, type Selected, Selector, selectChannels } from './select';
import { type ByteSource, Cancelled, type Control, checkpoint, guarded, partOf, Unreadable } from './source';
import { type Frames, longestStretch, steadyStretch } from './steady';
import { type ChannelTone, toneAt, tonesOf } from './tones';
import { openWav } from './wav';
import type { Spectra } from './welch';

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
  | { readonly error: string; readonly cancelled?: true };

const readers: Record<MeasureRequest['format'], Reader> = { wav: openWav, csv: openCsv };

/**
 * Measures a recording: levels, spectra and pairs over all of it, tone figures over its longest steady stretch of up to 2^20
 * frames. Memory does not grow with the length. Never rejects for what a file holds or how it is asked for.
 */
export async function measure(source: ByteSource, request: MeasureRequest, control?: Control): Promise<MeasureOutcome> {
  try {
    const recording = await readers[request.format](
      guarded(source),
      partOf(control, 0, request.format === 'csv' ? 0.3 : 0),
    );
    if ('error' in recording) return recording;
    return await measureRecording(recording, request, partOf(control, request.format === 'csv' ? 0.3 : 0, 1));
  } catch (reason) {
    if (reason instanceof Cancelled) return { error: 'cancelled', cancelled: true };
    if (reason instanceof Unreadable) return { error: `the file cannot be read: ${reason.message}` };
    throw reason;
  }
}

/** The sentence every report carries: what 0 dB is, what is left out of RMS, how many harmonics count. */
export const convention =
  'Levels: a full-scale sine is 0 dBFS (AES17; a full-scale square reads +3.01). RMS is without DC, peak with it. ' +
  'THD counts harmonics 2 to 10 over the fundamental; THD+N and SINAD cover the whole bandwidth. ' +
  'BS.468 is RMS with 0 dB at 1 kHz, not quasi-peak.';

/** Measures a recording that has been opened. */
async function measureRecording(
  recording: Recording,
  request: MeasureRequest,
  control?: Control,
): Promise<MeasureOutcome> {
  const selected = selectChannels(recording, request.channels);
  if ('error' in selected) return selected;
  const stimulus = request.stimulus ?? null;
  const pairs = request.pairs ?? defaultPairs(selected.length);
  const gathered = await gather(recording, selected, pairs, partOf(control, 0, 0.8));
  const timed = recording.rate > 0 && recording.even;
  const spectra = gathered.pairs.spectra();
  const stretch = timed ? stretchOf(gathered.envelope, spectra, stimulus) : null;
  const samples = stretch && (await read(recording, selected, stretch, partOf(control, 0.8, 0.85)));
  const seeks = stimulus === null || stimulus.kind === 'tone';
  const near = stimulus?.tone === undefined ? undefined : (2 * Math.PI * stimulus.tone) / recording.rate;
  const tones = samples && seeks && stretch.steady ? tonesOf(samples, near) : selected.map(() => null);
  await checkpoint(control, 0.9);
  const { channels, warnings } = {
    channels: [] as RecordingFigures['channels'][number][],
    warnings: [...recording.warnings],
  };
  for (const [i, channel] of selected.entries()) {
    const scatter = scatterOf(gathered.envelope, i);
    channels.push(
      channelFigures({
        channel,
        levels: gathered.levels[i]!.result(),
        scatter,
        clipped: gathered.clipping.of(channel),
        rate: timed ? recording.rate : 0,
        stimulus,
        samples: samples && samples[i]!,
        tone: tones[i]!,
        density: timed && spectra.segments > 0 ? { values: spectra.auto[i]!, binWidth: spectra.binWidth } : null,
      }),
    );
    await checkpoint(control, 0.9 + (0.1 * (i + 1)) / selected.length);
  }
  const pairsMeasured = gathered.pairs.result().map((measured): PairFigures => {
    const [a, b] = measured.pair;
    const both: [Selected, Selected] = [selected[a]!, selected[b]!];
    return pairFigures({
      measured,
      channels: both,
      stimulus,
      tones: samples && commonTone(samples, tones, a, b),
      timed,
    });
  });
  warnings.push(...remarks(recording, selected, gathered, tones, channels, stretch, stimulus));
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
      pairs: pairsMeasured,
      stretch:
        stretch &&
        describe(
          stretch,
          recording,
          tones.some((tone) => tone !== null),
        ),
      sequence: null,
      warnings,
    },
  };
}

interface Gathered {
  readonly levels: readonly LevelMeter[];
  readonly clipping: Clipping;
  readonly envelope: Envelope;
  readonly counts: readonly LevelCount[];
  readonly pairs: PairMeter;
}

/** One pass over the whole recording. */
async function gather(
  recording: Recording,
  selected: readonly Selected[],
  pairs: readonly (readonly [number, number])[],
  control?: Control,
): Promise<Gathered> {
  const { rate, frames } = recording;
  const count = selected.length;
  const selector = new Selector(selected, blockFrames);
  const scales = selected.map(({ fullScale }) => fullScale ?? 0);
  // −70 dBFS of the smallest full scale; where none is known only an empty channel is silent by itself.
  const silence = Math.max(Number.MIN_VALUE, (Math.min(...scales) * 10 ** (-70 / 20)) / Math.SQRT2);
  const gathered: Gathered = {
    levels: selected.map(() => new LevelMeter()),
    clipping: new Clipping(recording, selected),
    envelope: new Envelope(count, rate, frames),
    counts: selected.map(() => new LevelCount()),
    pairs: new PairMeter(count, rate || 1, frames, { pairs, silence }),
  };
  for await (const block of recording.blocks(0, control)) {
    gathered.clipping.push(block);
    const picked = selector.pick(block);
    for (let c = 0; c < count; c++) {
      gathered.levels[c]!.push(picked[c]!);
      if (recording.step === null) gathered.counts[c]!.push(picked[c]!);
    }
    gathered.envelope.push(picked);
    gathered.pairs.push(picked);
  }
  return gathered;
}

function defaultPairs(count: number): [number, number][] {
  const pairs: [number, number][] = [];
  if (count <= 4) for (let a = 0; a < count; a++) for (let b = a + 1; b < count; b++) pairs.push([a, b]);
  else for (let a = 0; a + 1 < count; a += 2) pairs.push([a, a + 1]);
  return pairs;
}

interface Chosen extends Frames {
  /** False where no level holds and the stretch is merely the middle. */
  readonly steady: boolean;
}

/** The frames tone figures come from: the longest steady stretch; of what is no tone, the middle. */
function stretchOf(envelope: Envelope, spectra: Spectra, stimulus: Stimulus | null): Chosen {
  const { frames, rate, channels } = envelope;
  const most = Math.min(longestStretch, Math.max(1, Math.floor((1 << 22) / channels)));
  const length = Math.min(frames, most);
  const from = Math.floor((frames - length) / 2);
  const middle = { from, to: from + length, steady: false };
  if (stimulus !== null && stimulus.kind !== 'tone') return middle;
  const frequency = stimulus?.tone ?? loudestLine(spectra);
  const found = frequency > 0 ? steadyStretch(envelope, rate / frequency) : null;
  if (found === null) return middle;
  const over = Math.max(0, found.to - found.from - most);
  return { from: found.from + Math.floor(over / 2), to: found.to - Math.ceil(over / 2), steady: true };
}

/** Frequency of the strongest bin of any channel; 0 where there is no spectrum. */
function loudestLine({ auto, binWidth, segments }: Spectra): number {
  if (segments === 0) return 0;
  let best = 0;
  let power = 0;
  for (const density of auto)
    for (let k = 2; k < density.length; k++)
      if (density[k]! > power) {
        power = density[k]!;
        best = k * binWidth;
      }
  return best;
}

async function read(recording: Recording, selected: readonly Selected[], { from, to }: Frames, control?: Control) {
  const raw = await slice(recording, from, to - from, control);
  return new Selector(selected, to - from).pick(raw);
}

/** Both channels at the frequency of the stronger tone, where either has one. */
function commonTone(
  samples: readonly Float64Array[],
  tones: readonly (ChannelTone | null)[],
  a: number,
  b: number,
): TonePair | null {
  const [first, second] = [tones[a], tones[b]];
  const stronger = !second || (first && first.fit.amplitude >= second.fit.amplitude) ? first : second;
  if (!stronger) return null;
  // Two tones of their own, further apart than the record resolves: no phase between them.
  const apart =
    first?.dominant && second?.dominant ? Math.abs(first.fit.omega - second.fit.omega) * samples[a]!.length : 0;
  if (apart > Math.PI) return null;
  const fits = [a, b].map((c) => toneAt(samples[c]!, stronger.fit.omega));
  return fits[0] && fits[1] ? [fits[0], fits[1]] : null;
}

function describe(
  { from, to, steady }: Chosen,
  { rate, frames }: Recording,
  tone: boolean,
): Stretch & { text: string } {
  const seconds = (value: number) => `${(value / rate).toPrecision(4)} s`;
  const whole = from === 0 && to === frames;
  const where = whole ? 'the whole recording' : `${seconds(from)} to ${seconds(to)}`;
  const why = !tone
    ? 'lines and noise'
    : whole
      ? 'tone figures'
      : `tone figures, the ${steady ? 'longest steady stretch (at most 2^20 frames)' : 'middle of the recording'}`;
  return { from: from / rate, to: to / rate, frames: to - from, text: `${why}: from ${where}` };
}

/** A sine that spans fewer levels than this is too coarse for the fit's residual to mean much (Kollár & Blair 2005). */
const fewestLevels = 20;

function remarks(
  recording: Recording,
  selected: readonly Selected[],
  { counts }: Gathered,
  tones: readonly (ChannelTone | null)[],
  channels: RecordingFigures['channels'],
  stretch: Chosen | null,
  stimulus: Stimulus | null,
): Warning[] {
  const out: Warning[] = [];
  for (const [i, { name, clipped, unit, min, max }] of channels.entries()) {
    if (clipped) {
      const text = `channel ${name}: ${clipped} clipped ${clipped === 1 ? 'run' : 'runs'}; its figures are of a cut wave`;
      out.push({ what: 'clipped', text });
    }
    const step = recording.step === null ? null : recording.step * Math.abs(selected[i]!.factor);
    const levels = step === null ? counts[i]!.levels : Math.round((max - min) / step) + 1;
    if (tones[i]?.dominant && levels !== null && levels < fewestLevels) {
      const text = `channel ${name} spans ${levels} levels: below ${fewestLevels} distortion figures of a sine are unreliable`;
      out.push({ what: 'few-levels', text });
    }
    if (unit === 'FS' && i === 0)
      out.push({ what: 'unscaled', text: 'volts at full scale are not stated: levels are fractions of full scale' });
  }
  if (stimulus?.kind === 'tone' && stretch && !stretch.steady)
    out.push({ what: 'not-steady', text: 'no level holds long enough for tone figures' });
  if (stimulus?.tone !== undefined && stimulus.tone >= recording.rate / 2 && recording.rate > 0)
    out.push({
      what: 'too-slow',
      text: `sampled at ${recording.rate} Hz, a tone of ${stimulus.tone} Hz cannot be seen`,
    });
  if (stimulus?.tone !== undefined && recording.frames < (4 * recording.rate) / stimulus.tone)
    out.push({ what: 'too-short', text: 'the recording holds fewer than four periods of the tone' });
  return out;
}

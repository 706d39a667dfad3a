import type { Envelope } from './envelope';
import type { Stimulus, Stretch } from './figures';
import { type Recording, slice } from './recording';
import { type Selected, Selector } from './select';
import type { Control } from './source';
import { type Frames, longestStretch, steadyStretch } from './steady';
import type { Spectra } from './welch';

/** The frames that tone figures, lines and fine spectra come from. */
export interface Chosen extends Frames {
  /** False where no level holds, or none need: the stretch is merely the middle. */
  readonly steady: boolean;
}

/** Samples of all channels together that a stretch may hold: 32 MB. */
const mostSamples = 1 << 22;

/** The longest steady stretch where a tone may be; of what is no tone, the middle of the recording. */
export function chooseStretch(envelope: Envelope, spectra: Spectra, stimulus: Stimulus | null): Chosen {
  const { frames, rate, channels } = envelope;
  const most = Math.min(longestStretch, Math.max(1, Math.floor(mostSamples / channels)));
  const middle = { ...inner({ from: 0, to: frames }, most), steady: false };
  if (stimulus !== null && stimulus.kind !== 'tone') return middle;
  const frequency = stimulus?.tone ?? loudestLine(spectra);
  const found = frequency > 0 ? steadyStretch(envelope, rate / frequency) : null;
  return found === null ? middle : { ...inner(found, most), steady: true };
}

/** The middle of a run, at most `most` frames. */
function inner({ from, to }: Frames, most: number): Frames {
  const length = Math.min(to - from, most);
  const start = from + Math.floor((to - from - length) / 2);
  return { from: start, to: start + length };
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

/** The samples of a stretch, one array a selected channel. */
export async function readStretch(
  recording: Recording,
  selected: readonly Selected[],
  { from, to }: Frames,
  control?: Control,
): Promise<Float64Array[]> {
  return new Selector(selected, to - from).pick(await slice(recording, from, to - from, control));
}

/** The stretch in seconds, and the sentence that says what comes from it. */
export function describeStretch(
  { from, to, steady }: Chosen,
  recording: Recording,
  tone: boolean,
): Stretch & { readonly text: string } {
  const { rate, frames } = recording;
  const seconds = (value: number) => `${(value / rate).toPrecision(4)} s`;
  const whole = from === 0 && to === frames;
  const what = tone ? 'Tone figures' : 'Lines and fine spectra';
  const why = whole
    ? ''
    : !recording.even
      ? ', its beginning'
      : steady
        ? ', the longest steady stretch (at most 2^20 frames)'
        : ', its middle';
  const where = whole ? 'the whole recording' : `${seconds(from)} to ${seconds(to)} of ${seconds(frames)}${why}`;
  return { from: from / rate, to: to / rate, frames: to - from, text: `${what}: from ${where}` };
}

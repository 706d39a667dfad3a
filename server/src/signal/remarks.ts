import type { ChannelFigures, Stimulus, Warning } from './figures';
import type { Gathered } from './gather';
import type { Recording } from './recording';
import type { Selected } from './select';
import type { Chosen } from './stretch';

/** A sine that spans fewer levels is too coarse for what the fit leaves to mean much (Kollár & Blair 2005). */
const fewestLevels = 20;

/** Periods a tone must have for its sine fit to mean anything. Händel, IEEE TIM 49(6) 2000: poor below one; a few by common practice. */
export const fewestPeriods = 3;

/** What must be said about the recording beside its figures. */
export function remarks(
  recording: Recording,
  selected: readonly Selected[],
  { counts }: Gathered,
  channels: readonly ChannelFigures[],
  stretch: Chosen | null,
  stimulus: Stimulus | null,
): Warning[] {
  const out: Warning[] = [];
  const say = (what: Warning['what'], text: string) => out.push({ what, text });
  channels.forEach(({ name, clipped, sinad, min, max }, i) => {
    if (clipped)
      say(
        'clipped',
        `channel ${name}: ${clipped} clipped ${clipped === 1 ? 'run' : 'runs'}; its figures are of a cut wave`,
      );
    const { step } = selected[i]!;
    const levels = step === null ? counts[i]!.levels : Math.round((max - min) / step) + 1;
    if (sinad !== null && levels !== null && levels < fewestLevels)
      say(
        'few-levels',
        `channel ${name} spans ${levels} levels: below ${fewestLevels} distortion figures of a sine are unreliable`,
      );
  });
  if (channels.some(({ unit }) => unit === 'FS'))
    say('unscaled', 'volts at full scale are not stated: levels are fractions of full scale');
  const tone = stimulus?.kind === 'tone' ? stimulus.tone : undefined;
  if (recording.rate === 0 || !recording.even || stimulus?.kind !== 'tone') return out;
  if (tone !== undefined && tone >= recording.rate / 2)
    say('too-slow', `sampled at ${recording.rate} Hz, a tone of ${tone} Hz cannot be seen`);
  else if (tone !== undefined && recording.frames * tone < fewestPeriods * recording.rate)
    say('too-short', `the recording holds fewer than ${fewestPeriods} periods of the tone`);
  else if (stretch && !stretch.steady) say('not-steady', 'no level holds long enough for tone figures');
  return out;
}

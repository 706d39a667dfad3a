import type { RecordingFigures, SegmentFigures, SequenceFigures, Stimulus } from './figures';
import { cut, type Recording } from './recording';
import type { Selected } from './select';
import type { FoundPart } from './sequence-finder';
import { locate } from './sequence-window';
import { type Control, partOf } from './source';
import { stereoTable } from './stereo-measure';

/**
 * Finds the all-in-one recording in a capture of any length, window by window, measures each of its parts as a recording of its
 * own, and the whole as one table. Left and right are the channels that stand for them, else the first two. Answers in words
 * where it is not there.
 *
 * @param measured measures one part under its stimulus; null where nothing can be measured in it.
 */
export async function sequenceFigures(
  recording: Recording,
  selected: readonly Selected[],
  level: number | undefined,
  measured: (part: Recording, stimulus: Stimulus) => Promise<RecordingFigures | null>,
  control?: Control,
): Promise<SequenceFigures | { readonly error: string }> {
  if (!(recording.rate > 0) || !recording.even)
    return { error: 'the all-in-one recording cannot be looked for without even time' };
  const sides = sidesOf(selected);
  const located = await locate(recording, sides, partOf(control, 0, 0.5));
  if ('error' in located) return located;
  const { found, samples, from } = located;
  const { rate } = recording;
  const segments: SegmentFigures[] = [];
  for (const part of found.parts) {
    const stimulus = stimulusOf(part, level);
    const figures = await measured(cut(recording, from + part.from, from + part.to), stimulus);
    if (figures === null) continue;
    const stretch = { from: (from + part.from) / rate, to: (from + part.to) / rate, frames: part.to - part.from };
    segments.push({ name: part.name, stimulus, stretch, channels: figures.channels, pair: figures.pairs[0] ?? null });
  }
  return {
    start: (from + found.start) / rate,
    drift: found.drift,
    driftSd: found.driftSd,
    segments,
    table: sides.length === 2 ? stereoTable(found, samples, rate, stepOf(sides)) : null,
  };
}

/** The stimulus of a part; the level stated for the whole is that of its tones. */
const stimulusOf = ({ stimulus }: FoundPart, level: number | undefined): Stimulus =>
  level !== undefined && stimulus.kind === 'tone' ? { ...stimulus, level } : stimulus;

/** Left and right, else the first two channels. */
function sidesOf(selected: readonly Selected[]): readonly Selected[] {
  const left = selected.find(({ side }) => side === 'left');
  const right = selected.find(({ side }) => side === 'right');
  return left && right ? [left, right] : selected.slice(0, 2);
}

/** The coarser channel's step; 0 where none is known. */
const stepOf = (sides: readonly Selected[]) => Math.max(...sides.map(({ step }) => step ?? 0));

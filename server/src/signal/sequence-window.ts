import type { Recording } from './recording';
import type { Selected } from './select';
import { sequenceSeconds } from './sequence';
import { type FoundSequence, findSequence } from './sequence-finder';
import { type Control, partOf } from './source';
import { readStretch } from './stretch';

/** Samples of all channels together that are searched at a time: 64 MB. */
const mostSamples = 1 << 23;

/** A window that holds the recording, and what was found in it. */
export interface Located {
  readonly found: FoundSequence;
  readonly samples: readonly Float64Array[];
  /** First frame of the window. */
  readonly from: number;
}

/**
 * Looks for the all-in-one recording in a capture of any length, window by window, in memory that does not grow. What runs over
 * a window's edge lies whole in the next one, which begins a whole recording earlier than this one ends; where even that shows
 * no more of it, what there was counts.
 *
 * @param most samples of all channels a window may hold; never less than two recordings' worth.
 */
export async function locate(
  recording: Recording,
  sides: readonly Selected[],
  control?: Control,
  most = mostSamples,
): Promise<Located | { readonly error: string }> {
  const { frames, rate } = recording;
  // Windows overlap by a whole recording, drift and all, so that one of them holds it.
  const overlap = Math.ceil(1.01 * sequenceSeconds * rate);
  const window = Math.max(2 * overlap, Math.floor(most / sides.length));
  let failure = { error: 'the capture is empty' };
  let cutOff: Located | null = null;
  for (let from = 0; from < frames; from += window - overlap) {
    const to = Math.min(frames, from + window);
    const samples = await readStretch(recording, sides, { from, to });
    const answer = await findSequence(samples, rate, partOf(control, from / frames, to / frames));
    if ('found' in answer) {
      const located = { found: answer.found, samples, from };
      const best = cutOff && cutOff.found.parts.length >= answer.found.parts.length ? cutOff : located;
      const runsOver = answer.found.start + sequenceSeconds * rate > to - from;
      if (cutOff || !runsOver || to === frames) return best;
      cutOff = located;
    } else if (cutOff) return cutOff;
    else failure = answer;
    if (to === frames) break;
  }
  return cutOff ?? failure;
}

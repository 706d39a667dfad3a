import { Envelope } from './envelope';
import { LevelCount } from './level-count';
import { LevelMeter } from './levels';
import { PairMeter } from './pair';
import { QuasiPeakMeter, type QuasiPeakReading, quasiPeakReads } from './quasi-peak';
import { blockFrames, type Recording } from './recording';
import { Clipping, type Selected, Selector } from './select';
import type { Control } from './source';

/** What one pass over a recording leaves: of fixed size, whatever its length. */
export interface Gathered {
  readonly levels: readonly LevelMeter[];
  readonly clipping: Clipping;
  readonly envelope: Envelope;
  readonly counts: readonly LevelCount[];
  readonly pairs: PairMeter;
}

/** A channel is silent below this, re its full scale. Common practice, no source. */
const silenceDbfs = -70;

/** Goes through the whole recording once. */
export async function gather(
  recording: Recording,
  selected: readonly Selected[],
  pairs: readonly (readonly [number, number])[],
  control?: Control,
): Promise<Gathered> {
  const { rate, frames } = recording;
  const count = selected.length;
  const selector = new Selector(selected, blockFrames);
  // Of the smallest full scale; where none is known only an empty channel is silent by itself.
  const smallest = Math.min(...selected.map(({ fullScale }) => fullScale ?? 0));
  const silence = Math.max(Number.MIN_VALUE, (smallest * 10 ** (silenceDbfs / 20)) / Math.SQRT2);
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

/** The noise meter's reading of every channel wanted, null of the others: one more pass, in memory that does not grow. */
export async function gatherQuasiPeaks(
  recording: Recording,
  selected: readonly Selected[],
  wanted: readonly boolean[],
  control?: Control,
): Promise<(QuasiPeakReading | null)[]> {
  const { rate, frames } = recording;
  if (!wanted.includes(true) || !quasiPeakReads(frames, rate)) return wanted.map(() => null);
  const meters = wanted.map((is) => (is ? new QuasiPeakMeter(rate) : null));
  const selector = new Selector(selected, blockFrames);
  for await (const block of recording.blocks(0, control)) {
    const picked = selector.pick(block);
    meters.forEach((meter, c) => {
      meter?.push(picked[c]!);
    });
  }
  return meters.map((meter) => meter?.result() ?? null);
}

/** Every pair of up to four channels; of more the 1st and 2nd, 3rd and 4th … */
export function defaultPairs(count: number): [number, number][] {
  const pairs: [number, number][] = [];
  if (count <= 4) for (let a = 0; a < count; a++) for (let b = a + 1; b < count; b++) pairs.push([a, b]);
  else for (let a = 0; a + 1 < count; a += 2) pairs.push([a, a + 1]);
  return pairs;
}

import type { RecordingFigures } from '../../server/src/signal/figures';
import { type MeasureRequest, measure } from '../../server/src/signal/measure';
import { memorySource } from '../../server/src/signal/source';
import { sine, type WavOptions, wav } from './make';

/** Measuring from tests, through a WAV file in memory. */

export const rate = 48000;

/** The figures of channels written as WAV; anything but figures fails the test. */
export async function figures(
  channels: readonly Float64Array[],
  request: Partial<MeasureRequest> = {},
  options: WavOptions = {},
): Promise<RecordingFigures> {
  const outcome = await measure(memorySource(wav(channels, options)), { format: 'wav', ...request });
  if ('error' in outcome) throw new Error(outcome.error);
  return outcome.figures;
}

export const tone = (frames = rate, amplitude = 0.25, phase = 0, frequency = 997) =>
  sine({ rate, frames, frequency, amplitude, phase });

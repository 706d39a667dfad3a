import type { Probed, Recorded } from '../recordings';

/**
 * A level that the figures of a channel give in dB against its own tone (without one, against a full-scale sine or 1 V RMS), against
 * the loudest tone of the recording: on a side that was not played, the little that leaks over is no measure of anything.
 */
export function againstTone({ channels }: Recorded, { figures }: Probed, level: number): number {
  const loudest = Math.max(
    0,
    ...channels.map((one) => (one.figures.unit === figures.unit ? (one.figures.tone?.amplitude ?? 0) : 0)),
  );
  if (loudest === 0) return level;
  const own = figures.tone?.amplitude ?? (figures.unit === 'FS' ? 1 : Math.SQRT2);
  return level + 20 * Math.log10(own / loudest);
}

/** What such levels are against, in words. */
export function referenceOf({ channels }: Recorded, { figures }: Probed): string {
  if (channels.some((one) => one.figures.unit === figures.unit && one.figures.tone)) return 'the tone';
  return figures.unit === 'FS' ? 'full scale' : '1 V';
}

import type { CombFigures, SpurFigures } from './figures';
import { humOf, signatures } from './signatures';

/** Lines, combs and hum of one channel. */
export interface SpectralFigures {
  readonly hum: number | null;
  readonly combs: readonly CombFigures[];
  readonly spurs: readonly SpurFigures[];
}

/** Spurs listed at most, the strongest first: a report is no spectrum. */
const mostSpurs = 20;

/**
 * Combs, hum and spurs of what is not the stimulus.
 *
 * @param reference RMS that levels are relative to. @param tone Hz of the tone that was taken out of the samples, or is in them.
 */
export function spectralFigures(
  samples: Float64Array,
  rate: number,
  reference: number,
  tone?: number,
): SpectralFigures {
  const found = signatures(samples, rate, tone);
  const hum = humOf(found);
  const db = (rms: number) => 20 * Math.log10(rms / reference);
  return {
    hum: hum === null ? null : db(hum),
    combs: found.combs.map(({ mains: _, ...comb }) => comb),
    spurs: found.spurs
      .slice(0, mostSpurs)
      .map(({ frequency, rms, hint }) => ({ frequency, rms, level: db(rms), hint })),
  };
}

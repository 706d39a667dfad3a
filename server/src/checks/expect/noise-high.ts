import { fixed } from '../channels/words';
import { against } from './against';

export const noiseHigh = against(
  'noise-high',
  'noise',
  {
    meaning: 'The output hisses, hums or buzzes more than expected.',
    causes: 'A noisy supply or reference; an open input; too much gain; the recorder’s own noise.',
    next: 'Short the recorder’s input and record again: that is the least it can show. Then look for lines: hum, combs, whines.',
    source: 'The expectation’s `below`; A-weighting: IEC 61672-1.',
    blind: 'Taken in silence, or from what a tone leaves.',
  },
  (outcome) =>
    `Noise is ${fixed(Number(outcome.figures.noise), 1)} dB: ${fixed(Number(outcome.figures.noise) - Number(outcome.figures.below), 1)} dB above what is expected.`,
);

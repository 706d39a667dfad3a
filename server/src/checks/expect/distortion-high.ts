import { fixed } from '../channels/words';
import { against } from './against';

export const distortionHigh = against(
  'distortion-high',
  'distortion',
  {
    meaning: 'The tone is less clean than expected.',
    causes:
      'Clipping; a load too heavy; crossover distortion of a tired output stage; a leaking coupling capacitor; hum counted along.',
    next: 'Turn the level down: distortion that falls was overload, distortion that rises is noise or crossover.',
    source: 'The expectation’s `below`, against THD+N from 20 Hz to 20 kHz.',
    blind: 'THD+N holds noise and hum too. The recorder’s own distortion is the floor.',
  },
  (outcome) =>
    `THD+N is ${fixed(Number(outcome.figures.thdn), 1)} dB: ${fixed(Number(outcome.figures.thdn) - Number(outcome.figures.below), 1)} dB above what is expected.`,
);

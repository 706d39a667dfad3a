import { fixed } from '../channels/words';
import { against } from './against';

export const crosstalkHigh = against(
  'crosstalk-high',
  'stereo',
  {
    meaning: 'A side that was not played carries more of the other than expected.',
    causes:
      'A shared return; leakage between two traces or a dirty board; a capacitor between the sides; the recorder’s own crosstalk.',
    next: 'Look at its sign and slope: turned over and flat is a shared return, rising 20 dB a decade a capacitance. Then the recorder alone, with its input shorted on one side.',
    source: 'The expectation’s `separation`.',
    blind: 'Needs each side played alone. The recorder’s own separation is the floor.',
  },
  (outcome) => {
    const seen = [outcome.figures.separationLeft, outcome.figures.separationRight].filter(
      (db): db is number => typeof db === 'number' && db > 0,
    );
    return seen.length === 0
      ? undefined
      : `Separation is ${seen.map((db) => `${fixed(db, 1)} dB`).join(' and ')}: less than expected.`;
  },
);

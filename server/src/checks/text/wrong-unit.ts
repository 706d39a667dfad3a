import { fromProblems } from './from-problems';

export const wrongUnit = fromProblems('wrong-unit', {
  meaning: 'A quantity of another kind than the key wants: volts where ohms belong.',
  causes: 'The value stands at the wrong key, or its unit is mistyped.',
  next: 'Write the unit the key wants; the message names it.',
  source: 'The table of keys.',
  blind: 'A bare number is always taken in the base unit.',
});

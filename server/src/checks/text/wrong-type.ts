import { fromProblems } from './from-problems';

export const wrongType = fromProblems('wrong-type', {
  meaning: 'A list stands where one value belongs, or the other way round.',
  causes: 'Indentation; a dash too many or too few.',
  next: 'Compare with the example in the message.',
  source: 'The table of keys.',
  blind: 'A value that is still empty is half-typed, not wrong.',
});

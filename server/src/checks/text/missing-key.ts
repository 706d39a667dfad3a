import { fromProblems } from './from-problems';

export const missingKey = fromProblems('missing-key', {
  meaning: 'A key that must be there is not: a board needs its title, an accepted finding its reason.',
  causes: 'A file just begun.',
  next: 'Write it.',
  source: 'The table of keys.',
  blind: 'Nothing else is ever required: an unfinished board is not a faulty one.',
});

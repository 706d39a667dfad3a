import { fromProblems } from './from-problems';

export const duplicateName = fromProblems('duplicate-name', {
  meaning: 'One name given twice where it must be one.',
  causes: 'A part entered twice from two sides of the board; a copied block.',
  next: 'Keep one of the two; both places are shown.',
  source: 'A map holds a key once (YAML 1.2).',
  blind: 'Which of the two was meant is not guessed: the first is used.',
});

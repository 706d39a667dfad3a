import { fromProblems } from './from-problems';

export const pinOutOfRange = fromProblems('pin-out-of-range', {
  meaning: 'A pin number the part does not have.',
  causes: 'Counted from the wrong corner; a misread digit; the wrong package.',
  next: 'Count again from pin 1: dot, notch or bevel, counter-clockwise seen from above.',
  source: 'The package as its pinout or kind has it.',
  blind: 'Without a package or pinout no number is out of range.',
});

import { fromProblems } from './from-problems';

export const unknownKey = fromProblems('unknown-key', {
  meaning: 'A key the dialect does not have at this place.',
  causes:
    'A slip of the finger; a key of the other file kind; a wrong indentation that puts it under the wrong parent.',
  next: 'Take the nearest spelling offered, or move the key to where it belongs.',
  source: 'The table of keys.',
  blind: 'Keys that the writer names (parts, nets, captures) are never judged.',
});

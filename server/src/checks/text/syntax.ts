import { fromProblems } from './from-problems';

export const syntax = fromProblems('syntax', {
  meaning:
    'The text cannot be read as it stands, or YAML would cut or misread it: a quote that never closes, an indentation that fits nothing, a `#` that swallows the rest of a value, a comma that splits one in braces.',
  causes: 'A value pasted from a data sheet; a tab; a merge that left its marks.',
  next: 'Apply the fix, which quotes the value, or mend the indentation; the rest of the file keeps its findings.',
  source: 'YAML 1.2; the contract of the dialect.',
  blind: 'What a comment was meant to be cannot be known: ` # ` with a space after it stays a comment.',
});

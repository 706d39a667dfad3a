import { fromProblems } from './from-problems';

export const badQuantity = fromProblems('bad-quantity', {
  meaning:
    'A text that is no quantity, that can be read two ways, or that is probably a slip: `10 MF`, `4.7 mohm` on a part marked 475.',
  causes: 'm for M, a code whose scheme is not clear, a value that was meant for another key.',
  next: 'Read the part again under the loupe, or measure it.',
  source: "Forms: the trade's usage and IEC 60062; series: IEC 60063.",
  blind: 'A value that is possible but unlikely is taken as written.',
});

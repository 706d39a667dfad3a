import type { Check, Draft } from '../check';
import { evaluate } from './evaluate';

export const expectationUntested: Check = {
  name: 'expectation-untested',
  reads: 'figures',
  page: {
    meaning: 'Nothing measured so far can tell whether this expectation holds.',
    causes: 'The measurement is still to come; the stimulus that was used cannot tell it.',
    next: 'Take the measurement the message names.',
    source: 'The board’s own `expect` list; what a stimulus can tell follows from the output stages.',
    blind: 'While a recording is still being measured nothing is said.',
  },
  run: (snapshot) => {
    if ([...snapshot.captures.values()].some((state) => state.is === 'pending')) return [];
    return evaluate(snapshot)
      .filter((outcome) => outcome.verdict === 'untested')
      .map(
        (outcome): Draft => ({
          span: outcome.span,
          message: `Not tested yet: ${outcome.message}`,
          at: outcome.at,
        }),
      );
  },
};

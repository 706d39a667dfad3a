import type { Check, Draft } from '../check';
import { evaluate } from './evaluate';

export const expectationFailed: Check = {
  name: 'expectation-failed',
  reads: 'figures',
  page: {
    meaning: 'What a healthy board should show, by the writer’s own word, is not what was measured.',
    causes: 'The fault that is sought; a measurement taken in another state; an expectation that was too hopeful.',
    next: 'Read the figure and its uncertainty; repeat the measurement that speaks against it.',
    source: 'The board’s own `expect` list.',
    blind:
      'Tested in the last state unless `state` is written. A figure no further beyond its bound than its own uncertainty is not held against it. Where several recordings could be meant by a level, the nearest speaks.',
  },
  run: (snapshot) =>
    evaluate(snapshot)
      .filter((outcome) => outcome.verdict === 'failed')
      .map(
        (outcome): Draft => ({
          span: outcome.span,
          message: `Expected ${outcome.kind}: ${outcome.message}`,
          at: outcome.at,
          evidence: outcome.evidence,
          figures: outcome.figures,
        }),
      ),
};

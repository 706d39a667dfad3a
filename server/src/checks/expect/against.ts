import type { Check, Draft, Page } from '../check';
import { evaluate } from './evaluate';
import type { Outcome } from './outcome';

/** A check that says what a failed expectation of one kind means on the bench. */
export const against = (
  name: string,
  kind: string,
  page: Page,
  says: (outcome: Outcome) => string | undefined,
): Check => ({
  name,
  reads: 'figures',
  page,
  run: (snapshot, told) =>
    evaluate(snapshot).flatMap((outcome): Draft[] => {
      if (outcome.kind !== kind || outcome.verdict !== 'failed') return [];
      const message = says(outcome);
      // Sides exchanged, opposed or summed are told as such: their separation is no matter of crosstalk.
      if (message === undefined || told.some((finding) => sharper.has(finding.check))) return [];
      return [{ span: outcome.span, message, at: outcome.at, evidence: outcome.evidence, figures: outcome.figures }];
    }),
});

const sharper = new Set([
  'channels-antiphase',
  'channels-identical',
  'channels-swapped',
  'channel-dead',
  'channel-crossed',
  'bridge-as-stereo',
]);

import type { Check, Draft } from '../check';

/** Periods a tone must have for its sine fit to mean anything. Händel, IEEE TIM 49(6) 2000: poor below one; a few by common practice. */
const periods = 3;

export const captureTooShort: Check = {
  name: 'capture-too-short',
  reads: 'figures',
  page: {
    meaning: 'The recording holds too little of what was played for the claims made on it.',
    causes: 'A scope screen that shows less than a few periods; a recording stopped at once.',
    next: 'Record a second or more, or slow the time base down.',
    source:
      'A four-parameter sine fit is poor where the record covers a fraction of a period (P. Händel, IEEE TIM 49(6), 2000); three periods: common practice, no source.',
    blind: 'Judged against the tone the stimulus states, or the all-in-one recording it says was played.',
  },
  run: (snapshot) =>
    snapshot.board.captures.flatMap((capture): Draft[] => {
      const state = snapshot.captures.get(capture.name);
      const tone = capture.stimulus?.frequency;
      if (state?.is !== 'ready') return [];
      const without = state.figures.warnings.find((warning) => warning.what === 'no-sequence');
      if (without && capture.stimulus?.kind === 'all-in-one')
        return [
          {
            span: capture.file?.span ?? capture.keySpan,
            message: `The all-in-one recording is not found in ${capture.name}: ${without.text}.`.replace(/\.\.$/, '.'),
            evidence: [`capture ${capture.name}`],
          },
        ];
      if (tone === undefined || !(state.figures.duration > 0)) return [];
      const seen = state.figures.duration * tone;
      if (seen >= periods || tone >= state.figures.rate / 2) return [];
      return [
        {
          span: capture.file?.span ?? capture.keySpan,
          message: `${capture.name} holds ${seen.toFixed(1)} periods of ${tone} Hz: too few for its level and phase to be told.`,
          evidence: [`capture ${capture.name}`],
          figures: { periods: seen, needed: periods },
        },
      ];
    }),
};

import type { Check, Draft } from '../check';

export const captureTooSlow: Check = {
  name: 'capture-too-slow',
  reads: 'figures',
  page: {
    meaning:
      'The recording has too few samples a second for what was played: the tone lies above half its rate and shows at a wrong frequency, if at all.',
    causes: 'A scope on a slow time base; a recorder set to a telephone’s rate.',
    next: 'Record with a faster time base: at least ten samples a period show distortion too.',
    source: 'The sampling theorem: half the rate is the highest frequency there is.',
    blind: 'Judged against the tone the stimulus states; programme and noise are not judged.',
  },
  run: (snapshot) =>
    snapshot.board.captures.flatMap((capture): Draft[] => {
      const state = snapshot.captures.get(capture.name);
      const tone = capture.stimulus?.frequency;
      if (state?.is !== 'ready' || tone === undefined || !(state.figures.rate > 0) || tone < state.figures.rate / 2)
        return [];
      return [
        {
          span: capture.file?.span ?? capture.keySpan,
          message: `${capture.name} has ${Math.round(state.figures.rate)} samples a second: a tone of ${tone} Hz lies above half of that and cannot be seen.`,
          evidence: [`capture ${capture.name}`],
          figures: { rate: state.figures.rate, tone },
        },
      ];
    }),
};

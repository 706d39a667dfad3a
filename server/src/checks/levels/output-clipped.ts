import { fixed } from '../channels/words';
import type { Check, Draft } from '../check';
import { recorded } from '../recordings';

/** Share of the time within 2 % of the extremes (a pure sine: 0.1275, from its arc cosine), and dB of THD, that together are flat tops. */
const flat = 0.19;
const distorted = -40;

export const outputClipped: Check = {
  name: 'output-clipped',
  reads: 'figures',
  page: {
    meaning: 'The tone’s tops are cut flat before they reach the recorder: something ran out of voltage.',
    causes: 'A supply too low; too much gain; a load too heavy; a stage biased off its middle.',
    next: 'Turn the level down 6 dB: the flat tops must go. Then look which stage’s output is the first to be flat.',
    source:
      'A sine spends 12.75 % of its time within 2 % of its extremes (closed form); 19 % and −40 dB of THD: common practice, no source.',
    blind: 'Judged under a tone only. What the recorder clips at its own rails is `capture-clipped`.',
  },
  run: (snapshot) =>
    recorded(snapshot).flatMap((shown): Draft[] => {
      if (shown.stimulus?.kind !== 'tone') return [];
      const cut = shown.channels.filter(
        ({ figures }) =>
          (figures.clipped ?? 0) === 0 &&
          (figures.flatTop ?? 0) > flat &&
          (figures.thd ?? Number.NEGATIVE_INFINITY) > distorted,
      );
      if (cut.length === 0) return [];
      const worst = cut.reduce((a, b) => (b.figures.thd! > a.figures.thd! ? b : a));
      return [
        {
          span: shown.capture.keySpan,
          message: `${cut.map((probed) => probed.channel.points[0]!.text).join(' and ')} ${cut.length > 1 ? 'are' : 'is'} cut flat: ${(worst.figures.flatTop! * 100).toFixed(0)} % of the time at the extremes (a sine: 13 %), THD ${fixed(worst.figures.thd!, 1)} dB, with ${shown.played}.`,
          at: cut.map((probed) => probed.channel.points[0]!.ref.name),
          evidence: [shown.label],
          figures: { flatTop: worst.figures.flatTop, thd: worst.figures.thd },
        },
      ];
    }),
};

import type { Check, Draft } from '../check';
import { recorded } from '../recordings';

export const captureClipped: Check = {
  name: 'capture-clipped',
  reads: 'figures',
  page: {
    meaning: 'The recorder itself ran into its limits: levels, distortion and DC read wrong.',
    causes: 'Input gain too high; a probe on ×1 that should be on ×10; a scope’s screen exceeded.',
    next: 'Turn the recorder’s gain down and record again: if the flat tops stay at the same volts, the gadget clips.',
    source:
      'Runs of three or more samples at the rails of the format; of a CSV, at the last code of a converter of 8, 10 or 12 bits, where its values show one.',
    blind:
      'A recorder that clips below its digital rails is not seen here, but as `output-clipped`. Programme is never judged: it may be mastered to full scale.',
  },
  run: (snapshot) =>
    recorded(snapshot).flatMap((shown): Draft[] => {
      const kind = shown.stimulus?.kind;
      if (kind === undefined || kind === 'programme') return [];
      const clipped = shown.channels.filter((probed) => (probed.figures.clipped ?? 0) > 0);
      if (clipped.length === 0) return [];
      const runs = clipped.reduce((sum, probed) => sum + probed.figures.clipped!, 0);
      return [
        {
          span: shown.capture.file?.span ?? shown.capture.keySpan,
          message: `${shown.label} hits the recorder’s limits ${runs} times on ${clipped.map((probed) => probed.channel.points[0]!.text).join(' and ')}: its levels and distortion are not the gadget’s.`,
          at: clipped.map((probed) => probed.channel.points[0]!.ref.name),
          evidence: [shown.label],
          figures: { runs },
        },
      ];
    }),
};

import type { Check, Draft } from '../check';
import { byPoints, type StereoView, stereoViews } from './views';
import { fixed, level, pairFigures, relatedNets } from './words';

/** How far the side that should carry may lie below the other for the two to count as exchanged, dB: well beyond crosstalk. Common practice, no source. */
const exchanged = 20;

export const channelsSwapped: Check = {
  name: 'channels-swapped',
  reads: 'figures',
  page: {
    meaning: 'What was played on one side alone arrives on the other.',
    causes:
      'Tip and ring exchanged; the two output pins exchanged; the recorder’s or the player’s own leads exchanged.',
    next: 'Exchange nothing yet: play the left alone and touch the probe to the chip’s left output itself.',
    source: 'Only one side alone can show it; by 20 dB or more: common practice, no source.',
    blind:
      'Needs a stimulus with `side: left` or `side: right`. It cannot tell the board’s wiring from the recorder’s leads.',
  },
  run(snapshot, told) {
    const copper = snapshot.board.at();
    return byPoints(stereoViews(snapshot).filter(isFault)).flatMap((views): Draft[] => {
      const first = views[0]!;
      const nodes = [copper.node(first.left), copper.node(first.right)];
      if (
        told.some(
          (finding) =>
            finding.check === 'channel-crossed' &&
            nodes.some((node) => finding.at.some((point) => node?.points.includes(point))),
        )
      )
        return [];
      const played = first.stimulus!.side!;
      const carried = played === 'left' ? first.rightText : first.leftText;
      const other = played === 'left' ? first.leftText : first.rightText;
      const figures = played === 'left' ? first.rightFigures : first.leftFigures;
      const apart = first.balance === null ? '' : `, ${fixed(Math.abs(first.balance), 1)} dB above ${other}`;
      return [
        {
          span: first.capture.keySpan,
          message: `Played ${first.played}, the signal arrives on ${carried} (${level(figures)}${apart}): left and right are exchanged${views.length > 1 ? '' : ', or the recorder’s leads are'}.`,
          at: [first.left, first.right],
          evidence: [...new Set(views.map((view) => view.label))],
          figures: pairFigures(first),
          related: relatedNets(snapshot, views),
        },
      ];
    });
  },
};

function isFault(view: StereoView): boolean {
  const side = view.stimulus?.side;
  if (side !== 'left' && side !== 'right') return false;
  const towards = side === 'left' ? view.balance : view.balance === null ? null : -view.balance;
  if (towards !== null) return towards > exchanged;
  if (view.pair.relation !== 'one-silent') return false;
  return side === 'left' ? view.rightFigures.rms > view.leftFigures.rms : view.leftFigures.rms > view.rightFigures.rms;
}

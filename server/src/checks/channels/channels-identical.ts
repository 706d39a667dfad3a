import type { Copper } from '../../board/copper';
import { outputs, pathsFrom } from '../../board/paths';
import { weightsOf } from '../../circuit/from-board/chips';
import type { Check, Draft } from '../check';
import { byPoints, type StereoView, stereoViews } from './views';
import { pairFigures, pairWords, relatedNets } from './words';

/** How far apart the sides may be on a one-sided stimulus and still carry one signal, dB; crosstalk lies well below. Common practice, no source. */
const comparable = 3;

export const channelsIdentical: Check = {
  name: 'channels-identical',
  reads: 'figures',
  page: {
    meaning: 'Both sides carry one signal where two different ones were played: stereo has become mono.',
    causes:
      'A solder bridge or a probe between the sides; a mono switch, or mixing resistors on the board; a part set to mono; a player set to mono.',
    next: 'Board unpowered: ohms between the two sides, at the jack and at the chip. Then play the left alone and measure at the chip’s own pins.',
    source:
      'A correlation of +1 on unlike signals: the two are one. With one side played, the two within 3 dB: common practice, no source.',
    blind:
      'Says nothing unless the sides were played unlike, or one of them alone: a mono programme is the same on both by rights. Nor where the mode the board states for the part makes it mono.',
  },
  run(snapshot) {
    const faults = stereoViews(snapshot).filter(
      (view) => isFault(view) && !meantAsMono(snapshot.board.at(view.capture.state), view),
    );
    return byPoints(faults).map((views): Draft => {
      const first = views.find((view) => view.stimulus?.side === 'unlike') ?? views[0]!;
      return {
        span: first.capture.keySpan,
        message: `${first.leftText} and ${first.rightText} carry one and the same signal: ${pairWords(first)}, with ${first.played}. Left and right have been summed to mono, in the part or outside it.`,
        at: [first.left, first.right],
        evidence: [...new Set(views.map((view) => view.label))],
        figures: pairFigures(first),
        related: relatedNets(snapshot, [first, ...views.filter((view) => view !== first)]),
      };
    });
  },
};

/** Whether the mode that is stated for the part puts both programmes alike on every output that reaches the two points. */
function meantAsMono(copper: Copper, view: StereoView): boolean {
  const nodes = [view.left, view.right].map((point) => copper.node(point));
  const reaching = outputs(copper).filter(({ pin, node }) =>
    [node, ...pathsFrom(copper, pin, node).flatMap((path) => path.steps.map((step) => step.to))].some((at) =>
      nodes.includes(at),
    ),
  );
  return (
    reaching.length > 0 &&
    reaching.every(({ pin }) => {
      const weights = pin.part.mode && weightsOf(pin);
      return weights !== undefined && weights.left === weights.right;
    })
  );
}

function isFault(view: StereoView): boolean {
  if (view.pair.relation !== 'same') return false;
  const side = view.stimulus?.side;
  if (side === 'unlike') return true;
  return (side === 'left' || side === 'right') && view.balance !== null && Math.abs(view.balance) < comparable;
}

import { stimulusTells } from '../../signal/stimulus-tells';
import type { Check, Draft, Snapshot } from '../check';
import { byPoints, type StereoView, stereoViews } from './views';
import { pairFigures, pairWords, relatedNets } from './words';

/**
 * How far apart the sides may be, where not both were played, and still carry one signal, dB; crosstalk lies well below. Common
 * practice, no source.
 */
const comparable = 6;

export const channelsAntiphase: Check = {
  name: 'channels-antiphase',
  reads: 'figures',
  page: {
    meaning:
      'Left and right carry one signal in opposite phase. Played on two loudspeakers it sounds hollow and hard to place; summed to mono it vanishes.',
    causes:
      'A part that drives its two outputs as one differential pair; one side’s wires or a transformer turned over; an open common contact, which leaves the difference on both sides; the recorder’s own leads exchanged on a balanced input.',
    next: 'Play unlike noise on the two sides: a correlation of −1 proves one differential pair (or an open return), 0 a side that is merely turned over. Left alone and right alone part these two.',
    source:
      'A correlation of −1 means identical with one polarity reversed. Coherence near 1 and 180° in every band that carries energy is asked for, so that naturally wide programme is not taken for a fault. Where not both sides were played they must lie within 6 dB: common practice, no source.',
    blind:
      'One mono tone cannot tell a differential output from a reversed side, and the finding says so. Nothing is said on balanced contacts and bridge legs, where `opposed` was played, or where an expectation asks for `opposed`. Turning over one of two unlike signals leaves no trace at all.',
  },
  run(snapshot, told) {
    const { board } = snapshot;
    const wanted = (board.parsed?.value?.expect?.value ?? []).flatMap((entry) => {
      const words = entry.value?.opposed?.value;
      return words ? [words.map((word) => board.point(word.text)?.ref.name)] : [];
    });
    const copperSaysSo = told.filter((finding) => finding.check === 'bridge-as-stereo');
    return byPoints(stereoViews(snapshot).filter(isFault)).flatMap((views): Draft[] => {
      const first = best(views);
      const points = [first.left, first.right];
      if (wanted.some((pair) => points.every((point) => pair.includes(point)))) return [];
      const nodes = points.map((point) => board.at().node(point));
      if (
        copperSaysSo.some((finding) => nodes.every((node) => finding.at.some((point) => node?.points.includes(point))))
      )
        return [];
      return [
        {
          span: first.capture.keySpan,
          message: `${first.leftText} and ${first.rightText}, left and right, carry one signal in antiphase: ${pairWords(first)}, with ${first.played}. ${whichCause(views, snapshot)}`,
          at: points,
          evidence: [...new Set(views.map((view) => view.label))],
          figures: pairFigures(first),
          related: relatedNets(snapshot, [first, ...views.filter((view) => view !== first)]),
        },
      ];
    });
  },
};

/** Whether antiphase is a fault under what was played. */
function isFault(view: StereoView): boolean {
  if (view.pair.relation !== 'antiphase') return false;
  const side = view.stimulus?.side;
  if (side === 'opposed' || view.stimulus?.kind === 'silence') return false;
  // The crosstalk of a shared return is opposed too, and so is a source panned hard and then widened: only sides of comparable
  // level carry one signal, where it is not known that both were to.
  const both = side === 'both' || side === 'unlike';
  return both || (view.balance !== null && Math.abs(view.balance) < comparable);
}

/** The view that says most: unlike before one side alone before the rest. */
const weight = (view: StereoView): number =>
  view.stimulus?.side === 'unlike'
    ? 0
    : view.stimulus?.side === 'left' || view.stimulus?.side === 'right'
      ? 1
      : view.stimulus
        ? 2
        : 3;
const best = (views: readonly StereoView[]): StereoView => [...views].sort((a, b) => weight(a) - weight(b))[0]!;

/** What these recordings can tell about the cause, and which stimulus would tell more. */
function whichCause(views: readonly StereoView[], snapshot: Snapshot): string {
  const decisive = best(views);
  if (weight(decisive) <= 1)
    return `The same on ${decisive.stimulus!.side === 'unlike' ? 'unlike signals' : 'one side alone'}: the outputs run as one differential pair, or the common return is open; a side merely turned over would not show there.`;
  const separate = stereoViews(snapshot).find(
    (view) =>
      (view.stimulus?.side === 'left' || view.stimulus?.side === 'right' || view.stimulus?.side === 'unlike') &&
      view.pair.relation !== 'antiphase',
  );
  if (separate) return `${separate.label} shows the sides separate: one of them is turned over.`;
  const stated = views[0]!.stimulus;
  const tells = stimulusTells(stated ? { kind: stated.kind, ...(stated.side && { side: stated.side }) } : null);
  return tells.canTellPolarity
    ? ''
    : `${stated ? 'This stimulus' : 'What was played is not stated: it'} cannot tell a differential output from a side turned over: play unlike noise on the two sides, or the left alone.`;
}

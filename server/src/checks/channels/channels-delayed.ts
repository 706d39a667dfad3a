import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';
import { byPoints, type StereoView, stereoViews } from './views';
import { pairFigures, relatedNets } from './words';

export const channelsDelayed: Check = {
  name: 'channels-delayed',
  reads: 'figures',
  page: {
    meaning: 'One side comes later than the other: summed to mono, the sound turns hollow in a comb of notches.',
    causes: 'A converter that sends left and right one sample apart; an effect left on; two paths of different length.',
    next: 'Play noise the same on both and look at the phase: a straight line through zero is a delay, 180° throughout a reversed side.',
    source: 'τ = −(1/2π)·dφ/df, the slope of the cross-spectrum’s phase.',
    blind:
      'A single tone cannot tell a delay from a phase; programme without a side is never judged. Needs noise or a sweep, the same on both.',
  },
  run(snapshot) {
    return byPoints(stereoViews(snapshot).filter(isFault)).map((views): Draft => {
      const first = views[0]!;
      const late = behind(first) > 0;
      return {
        span: first.capture.keySpan,
        message: `${late ? first.rightText : first.leftText} comes ${formatQuantity(Math.abs(behind(first)), 's')} after ${late ? first.leftText : first.rightText}, with ${first.played}: summed to mono, the first notch lies at ${formatQuantity(1 / (2 * Math.abs(behind(first))), 'Hz')}.`,
        at: [first.left, first.right],
        evidence: [...new Set(views.map((view) => view.label))],
        figures: { ...pairFigures(first), delay: behind(first) },
        related: relatedNets(snapshot, views),
      };
    });
  },
};

/** Seconds the right is behind the left. */
const behind = (view: StereoView): number => {
  const delay = view.pair.delay ?? 0;
  return view.turned ? -delay : delay;
};

function isFault(view: StereoView): boolean {
  if (view.pair.relation !== 'delayed' || view.pair.delay === null) return false;
  const kind = view.stimulus?.kind;
  if (kind === 'noise' || kind === 'programme') return view.stimulus?.side === 'both';
  return kind === 'sweep';
}

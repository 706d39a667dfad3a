import type { Check, Draft } from '../check';
import { byPoints, deadSide, type StereoView, stereoViews } from './views';
import { level, pairFigures, relatedNets } from './words';

/** Seconds of programme of no stated side that a silence must last: a scope's screen may show a pause. Common practice, no source. */
const programmeSeconds = 1;

export const channelDead: Check = {
  name: 'channel-dead',
  reads: 'figures',
  page: {
    meaning: 'One side carries nothing where something was played on it, while the other side works.',
    causes:
      'A dry joint, a broken trace or contact, an open coupling capacitor, a side shorted to ground, a recorder lead that fell off; a source that feeds one side alone.',
    next: 'Play on both and follow the dead side from the chip’s pin to the jack with the probe: the fault lies where the signal stops.',
    source:
      'A side 40 dB below the other counts as dead; `limits` changes it. Unless it asks for more than that, 30 dB do too, for what is left there is crosstalk, and 20 dB where the side also lies below −70 dBFS. Common practice, no source.',
    blind:
      'Less than a second of programme says nothing about a side. Two silent sides prove nothing: perhaps nothing was played. One side alone that arrives nowhere is believed only where another recording shows the other side alive. A side exchanged is not a dead one.',
  },
  run(snapshot) {
    const limit = snapshot.limit('channel-dead');
    return byPoints(stereoViews(snapshot)).flatMap((views): Draft[] => {
      const alive = new Set(views.flatMap((view) => livingSides(view, limit)));
      for (const side of ['left', 'right'] as const) {
        const other = side === 'left' ? 'right' : 'left';
        const seen = views.filter((view) => shows(view, side, limit, alive.has(other)));
        const first = seen[0];
        if (!first || alive.has(side)) continue;
        const dead = side === 'left' ? first.leftFigures : first.rightFigures;
        const living = side === 'left' ? first.rightFigures : first.leftFigures;
        return [
          {
            span: first.capture.keySpan,
            message: `${side === 'left' ? first.leftText : first.rightText}, the ${side} side, carries nothing (${level(dead)}) with ${first.played}${first.stimulus?.side === side ? '' : `, while the ${other} side carries ${level(living)}`}.`,
            at: [side === 'left' ? first.left : first.right],
            evidence: [...new Set(seen.map((view) => view.label))],
            figures: pairFigures(first),
            related: relatedNets(snapshot, seen),
          },
        ];
      }
      return [];
    });
  },
};

/** Sides a view shows to be carrying what was played on them. */
function livingSides(view: StereoView, limit: number): ('left' | 'right')[] {
  const dead = deadSide(view, limit);
  if (view.pair.relation === 'both-silent' || view.stimulus?.kind === 'silence') return [];
  return (['left', 'right'] as const).filter((side) => side !== dead);
}

/** Whether a view shows a side dead: everything was played on it, and it carries nothing. */
function shows(view: StereoView, side: 'left' | 'right', limit: number, otherAlive: boolean): boolean {
  const played = view.stimulus?.side;
  if (view.stimulus?.kind === 'silence') return false;
  if (played === side) return view.pair.relation === 'both-silent' && otherAlive;
  if (played === 'left' || played === 'right') return false;
  if (played === undefined && view.seconds < programmeSeconds) return false;
  return deadSide(view, limit) === side;
}

import type { CopperNode } from '../../board/copper';
import { outputs, pathsFrom } from '../../board/paths';
import { byPoints, type StereoView, stereoViews } from '../channels/views';
import { fixed, pairFigures, relatedNets } from '../channels/words';
import type { Check, Draft, Snapshot } from '../check';
import { type Deviation, deviations } from './deviations';

/** dB that the two tracks of a stereo potentiometer may differ by: common practice, no source. */
const withPotentiometer = 3;

export const channelsUnequal: Check = {
  name: 'channels-unequal',
  reads: 'figures',
  page: {
    meaning: 'The two sides are not equally loud, beyond what the network says of them.',
    causes:
      'A part of another value on one side; a coupling capacitor that has lost its capacitance; a worn potentiometer track; a contact that is not clean.',
    next: 'Compare the sides step by step from the chip to the jack: the difference appears at the part that makes it.',
    source: '1.5 dB, 3 dB with a potentiometer in the way: common practice, no source.',
    blind:
      'Needs a tone on each side, in one recording or two of the same scale; where the network predicts nothing, a tone or noise on both at their nets or contacts. Programme is never judged: it may well be louder on one side.',
  },
  run(snapshot, told) {
    const silencing = new Set([
      'channels-antiphase',
      'channels-identical',
      'channels-swapped',
      'channel-dead',
      'level-unexpected',
      'bridge-as-stereo',
      'channel-crossed',
    ]);
    if (told.some((finding) => silencing.has(finding.check))) return [];
    const all = deviations(snapshot);
    const limit = snapshot.limit('channels-unequal');
    for (const left of all.filter((one) => one.side === 'left'))
      for (const right of all.filter((one) => one.side === 'right')) {
        if (!comparable(left, right)) continue;
        const db = 20 * Math.log10(right.measured / right.gain / (left.measured / left.gain));
        if (Math.abs(db) <= limit) continue;
        return [
          {
            span: left.capture === right.capture ? left.capture.keySpan : right.span,
            message: `${right.text} is ${fixed(Math.abs(db), 1)} dB ${db > 0 ? 'louder' : 'quieter'} than ${left.text} by what the network would have (${left.played}${left.played === right.played ? '' : `; ${right.played}`}).`,
            at: [left.point, right.point],
            evidence: [...new Set([left.label, right.label])],
            figures: { difference: db, left: left.measured, right: right.measured },
            basis: [...left.basis(), ...right.basis()].filter((fact) => fact.evidence === 'assumed'),
          } satisfies Draft,
        ];
      }
    return unpredicted(snapshot, all);
  },
};

/** Sides of which the network says nothing: what was played on both is taken to come out alike at their nets and contacts. */
function unpredicted(snapshot: Snapshot, all: readonly Deviation[]): Draft[] {
  const predicted = new Set(all.map((one) => one.point));
  const views = stereoViews(snapshot).filter(
    (view) =>
      (view.stimulus?.kind === 'tone' || view.stimulus?.kind === 'noise') &&
      (view.stimulus.side === 'both' || view.stimulus.side === 'opposed') &&
      !predicted.has(view.left) &&
      !predicted.has(view.right) &&
      view.balance !== null &&
      Math.abs(view.balance) > limitOf(snapshot, view) + 2 * (view.pair.balanceSd ?? 0),
  );
  return byPoints(views).map((same): Draft => {
    const first = same[0]!;
    const db = first.balance!;
    return {
      span: first.capture.keySpan,
      message: `${first.rightText} is ${fixed(Math.abs(db), 1)} dB ${db > 0 ? 'louder' : 'quieter'} than ${first.leftText}, with ${first.played}.`,
      at: [first.left, first.right],
      evidence: [...new Set(same.map((view) => view.label))],
      figures: pairFigures(first),
      related: relatedNets(snapshot, same),
    };
  });
}

/** The limit for two sides of which nothing is predicted; beyond any where a point is neither a channel's net nor a contact. */
function limitOf(snapshot: Snapshot, view: StereoView): number {
  const copper = snapshot.board.at(view.capture.state);
  const nodes = [view.left, view.right].map((point) => copper.node(point));
  if (!nodes.every((node) => node && isEnd(node))) return Number.POSITIVE_INFINITY;
  // Where a wiper stands nobody has said: behind a potentiometer nothing is predicted, and its tracks differ.
  const pot = outputs(copper).some(({ pin, node }) =>
    pathsFrom(copper, pin, node).some(
      (path) => nodes.includes(path.end) && path.steps.some((step) => step.part.kind === 'potentiometer'),
    ),
  );
  return Math.max(snapshot.limit('channels-unequal'), pot ? withPotentiometer : 0);
}

const isEnd = (node: CopperNode): boolean =>
  node.nets.some((net) => net.channel !== undefined) ||
  node.pins.some((pin) => pin.part.fitted && (pin.duty === 'left' || pin.duty === 'right'));

/** Two points whose levels may be held against each other: of one recording, or of two with one scale and one level. */
function comparable(left: Deviation, right: Deviation): boolean {
  if (left.capture === right.capture && left.label === right.label) return true;
  const [a, b] = [left.capture, right.capture];
  const same = a.fullScale === b.fullScale && a.fullScale !== undefined && a.probe === b.probe;
  const level =
    a.stimulus?.level?.value === b.stimulus?.level?.value && a.stimulus?.frequency === b.stimulus?.frequency;
  // One file: the scale is one, whatever it is.
  return (same || a === b) && level && left.scaled === right.scaled;
}

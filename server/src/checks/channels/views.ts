import type { Capture, Stimulus } from '../../board/measured';
import { otherLeg } from '../../board/paths';
import { sideOf } from '../../board/sides';
import { checkNames } from '../../dialect/check-names';
import type { ChannelFigures, PairFigures } from '../../signal/figures';
import type { Snapshot } from '../check';
import { perSnapshot } from '../memo';
import { recorded, standOf } from '../recordings';

/** What one recording (or one segment of an all-in-one) shows of a left and a right point. */
export interface StereoView {
  readonly capture: Capture;
  /** How it is named as evidence: "capture tone-both". */
  readonly label: string;
  readonly stimulus: Pick<Stimulus, 'kind' | 'side' | 'frequency'> | undefined;
  /** How long it is. */
  readonly seconds: number;
  /** In words: "997 Hz on both sides, in phase". */
  readonly played: string;
  /** Canonical points. */
  readonly left: string;
  readonly right: string;
  readonly leftText: string;
  readonly rightText: string;
  readonly leftFigures: ChannelFigures;
  readonly rightFigures: ChannelFigures;
  readonly pair: PairFigures;
  /** Right relative to left, dB. */
  readonly balance: number | null;
  /** Right against left, degrees. */
  readonly phase: number | null;
  /** The pair's own signed figures are left against right. */
  readonly turned: boolean;
}

/**
 * Every view of two sides that the ready recordings give. Left out: differential probes, balanced contacts and bridge legs, points
 * whose side nothing says, recordings whose stimulus cannot be read or whose copper a later rework changed.
 */
export const stereoViews = perSnapshot((snapshot: Snapshot): StereoView[] => {
  return recorded(snapshot).flatMap((shown): StereoView[] => {
    const copper = snapshot.board.at(shown.capture.state);
    const sided = shown.channels.flatMap((probed) => {
      const [point, minus] = probed.channel.points;
      const node = point && copper.node(point.ref.name);
      if (!point || minus || !node || !probed.current) return [];
      if (node.pins.some((pin) => pin.duty === 'hot' || pin.duty === 'cold' || otherLeg(pin) !== undefined)) return [];
      const side = sideOf(copper, node);
      return side ? [{ side, point, probed }] : [];
    });
    const [left, ...lefts] = sided.filter((one) => one.side === 'left');
    const [right, ...rights] = sided.filter((one) => one.side === 'right');
    if (!left || !right || lefts.length + rights.length > 0) return [];
    const stand = standOf(shown, left.probed, right.probed);
    if (!stand) return [];
    return [
      {
        capture: shown.capture,
        label: shown.label,
        stimulus: shown.stimulus,
        seconds: shown.seconds,
        played: shown.played,
        left: left.point.ref.name,
        right: right.point.ref.name,
        leftText: left.point.text,
        rightText: right.point.text,
        leftFigures: left.probed.figures,
        rightFigures: right.probed.figures,
        ...stand,
      },
    ];
  });
});

/** Views of the same two points, together. */
export function byPoints(views: readonly StereoView[]): StereoView[][] {
  const groups = new Map<string, StereoView[]>();
  for (const view of views) {
    const key = `${view.left} ${view.right}`;
    groups.set(key, [...(groups.get(key) ?? []), view]);
  }
  return [...groups.values()];
}

/**
 * Which side of a view carries nothing to speak of: by the limit of `channel-dead`, or by its relation, which asks no more than
 * the table's own limit does.
 */
export function deadSide(view: StereoView, limit: number): 'left' | 'right' | undefined {
  const beyond = view.balance !== null && Math.abs(view.balance) >= -limit;
  const silent = view.pair.relation === 'one-silent' && (view.balance === null || limit >= tableLimit);
  if (!beyond && !silent) return undefined;
  if (view.balance !== null && view.balance !== 0) return view.balance < 0 ? 'right' : 'left';
  return view.leftFigures.rms < view.rightFigures.rms ? 'left' : 'right';
}

const tableLimit = checkNames.get('channel-dead')!.limit!.value;

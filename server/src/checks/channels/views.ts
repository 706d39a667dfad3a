import { isCurrent } from '../../board/currency';
import type { Capture, Stimulus } from '../../board/measured';
import { stimulusText } from '../../board/measured';
import { otherLeg } from '../../board/paths';
import { sideOf } from '../../board/sides';
import type { ChannelFigures, PairFigures } from '../../signal/figures';
import type { Snapshot } from '../check';

/** What one recording (or one segment of an all-in-one) shows of a left and a right point. */
export interface StereoView {
  readonly capture: Capture;
  /** How it is named as evidence: "capture tone-both". */
  readonly label: string;
  readonly stimulus: Pick<Stimulus, 'kind' | 'side' | 'frequency'> | undefined;
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
}

/**
 * Every view of two sides that the ready recordings give. Left out: differential probes, balanced contacts and bridge legs, points
 * whose side nothing says, recordings whose stimulus cannot be read or whose copper a later rework changed.
 */
export function stereoViews(snapshot: Snapshot): StereoView[] {
  const { board } = snapshot;
  return board.captures.flatMap((capture): StereoView[] => {
    const state = snapshot.captures.get(capture.name);
    if (state?.is !== 'ready' || capture.stimulusBroken) return [];
    const copper = board.at(capture.state);
    const sided = capture.channels.flatMap((channel) => {
      const [point, minus] = channel.points;
      const node = point && copper.node(point.ref.name);
      if (!point || minus || !node || !isCurrent(board, [point], capture.state)) return [];
      if (node.pins.some((pin) => pin.duty === 'hot' || pin.duty === 'cold' || otherLeg(pin) !== undefined)) return [];
      const side = sideOf(copper, node);
      return side ? [{ side, point, key: channel.key }] : [];
    });
    const left = sided.filter((channel) => channel.side === 'left');
    const right = sided.filter((channel) => channel.side === 'right');
    if (left.length !== 1 || right.length !== 1) return [];
    const [l, r] = [left[0]!, right[0]!];
    const recordings = state.figures.sequence
      ? state.figures.sequence.segments.map((segment) => ({
          channels: segment.channels,
          pairs: segment.pair ? [segment.pair] : [],
          stimulus: { kind: segment.stimulus.kind, side: segment.stimulus.side, frequency: segment.stimulus.tone },
          label: `capture ${capture.name}, ${segment.name}`,
        }))
      : [
          {
            channels: state.figures.channels,
            pairs: state.figures.pairs,
            stimulus: capture.stimulus,
            label: `capture ${capture.name}`,
          },
        ];
    return recordings.flatMap((recording): StereoView[] => {
      const pair = recording.pairs.find(
        (candidate) => candidate.channels.includes(l.key) && candidate.channels.includes(r.key),
      );
      const leftFigures = recording.channels.find((channel) => channel.name === l.key);
      const rightFigures = recording.channels.find((channel) => channel.name === r.key);
      if (!pair || !leftFigures || !rightFigures) return [];
      const turned = pair.channels[0] === r.key;
      const turn = (value: number | null) => (value === null || !turned ? value : value === 180 ? 180 : -value);
      return [
        {
          capture,
          label: recording.label,
          stimulus: recording.stimulus,
          played: stimulusText(recording.stimulus && { ...emptyStimulus, ...recording.stimulus }),
          left: l.point.ref.name,
          right: r.point.ref.name,
          leftText: l.point.text,
          rightText: r.point.text,
          leftFigures,
          rightFigures,
          pair,
          balance: turn(pair.balance),
          phase: turn(pair.phase),
        },
      ];
    });
  });
}

const emptyStimulus: Stimulus = {
  kind: 'programme',
  frequency: undefined,
  noise: undefined,
  title: undefined,
  side: undefined,
  level: undefined,
  into: [],
  source: undefined,
  span: { start: 0, end: 0 },
};

/** Views of the same two points, together. */
export function byPoints(views: readonly StereoView[]): StereoView[][] {
  const groups = new Map<string, StereoView[]>();
  for (const view of views) {
    const key = `${view.left} ${view.right}`;
    groups.set(key, [...(groups.get(key) ?? []), view]);
  }
  return [...groups.values()];
}

/** Which side of a view carries nothing to speak of, by its relation or by the limit of `channel-dead`. */
export function deadSide(view: StereoView, limit: number): 'left' | 'right' | undefined {
  if (view.pair.relation !== 'one-silent' && (view.balance === null || Math.abs(view.balance) < -limit))
    return undefined;
  if (view.balance !== null && view.balance !== 0) return view.balance < 0 ? 'right' : 'left';
  return view.leftFigures.rms < view.rightFigures.rms ? 'left' : 'right';
}

import { isCurrent } from '../board/currency';
import type { Capture, CaptureChannel, Stimulus } from '../board/measured';
import { stimulusText } from '../board/measured';
import { levelOf } from '../circuit/from-board/played';
import type { ChannelFigures, PairFigures } from '../signal/figures';
import type { Snapshot } from './check';
import { perSnapshot } from './memo';

/** A channel of a recording on its point (or two, of a differential probe). */
export interface Probed {
  readonly channel: CaptureChannel;
  readonly figures: ChannelFigures;
  /** No later rework changed the copper it was taken on. */
  readonly current: boolean;
}

/** A measured recording, or one segment of an all-in-one, with what was being played. */
export interface Recorded {
  readonly capture: Capture;
  /** How it is named as evidence: "capture tone-both". */
  readonly label: string;
  readonly stimulus: Pick<Stimulus, 'kind' | 'side' | 'frequency'> | undefined;
  /** As a factor of full scale, where the stimulus states dBFS. */
  readonly level: number | undefined;
  /** How long it is. */
  readonly seconds: number;
  /** In words: "997 Hz on both sides, in phase". */
  readonly played: string;
  readonly channels: readonly Probed[];
  readonly pairs: readonly PairFigures[];
}

/** Every ready recording of a board. Left out: those whose stimulus cannot be read. */
export const recorded = perSnapshot((snapshot: Snapshot): Recorded[] => {
  const { board } = snapshot;
  return board.captures.flatMap((capture): Recorded[] => {
    const state = snapshot.captures.get(capture.name);
    if (state?.is !== 'ready' || capture.stimulusBroken) return [];
    const probed = (figures: readonly ChannelFigures[]) =>
      capture.channels.flatMap((channel): Probed[] => {
        const own = figures.find((candidate) => candidate.name === channel.key);
        return own ? [{ channel, figures: own, current: isCurrent(board, channel.points, capture.state) }] : [];
      });
    const { sequence, channels, pairs } = state.figures;
    if (sequence)
      return sequence.segments.map((segment) => {
        const { kind, side, tone, level } = segment.stimulus;
        const stimulus = { kind, side, frequency: tone };
        return {
          capture,
          label: `capture ${capture.name}, ${segment.name}`,
          stimulus,
          seconds: segment.stretch.to - segment.stretch.from,
          level: level === undefined ? undefined : 10 ** (level / 20),
          played: stimulusText(stimulus),
          channels: probed(segment.channels),
          pairs: segment.pair ? [segment.pair] : [],
        };
      });
    const { stimulus } = capture;
    return [
      {
        capture,
        label: `capture ${capture.name}`,
        stimulus,
        seconds: state.figures.duration,
        level: stimulus && levelOf(stimulus),
        played: stimulusText(stimulus),
        channels: probed(channels),
        pairs,
      },
    ];
  });
});

/** How the second of two channels stands to the first: signs turned where the pair was measured the other way round. */
export interface Stand {
  readonly pair: PairFigures;
  /** Second relative to first, dB. */
  readonly balance: number | null;
  /** Second against first, degrees. */
  readonly phase: number | null;
  /** The pair was measured the other way round: its own signed figures are the first against the second. */
  readonly turned: boolean;
}

/** How two probed channels of one recording stand to each other; undefined where they were not measured as a pair. */
export function standOf(shown: Recorded, first: Probed, second: Probed): Stand | undefined {
  const [a, b] = [first.channel.key, second.channel.key];
  const pair = shown.pairs.find((candidate) => candidate.channels.includes(a) && candidate.channels.includes(b));
  if (!pair || a === b) return undefined;
  const turned = pair.channels[0] === b;
  const turn = (value: number | null) => (value === null || !turned ? value : value === 180 ? 180 : -value);
  return { pair, balance: turn(pair.balance), phase: turn(pair.phase), turned };
}

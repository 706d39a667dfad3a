import type { CopperNode } from '../../board/copper';
import type { Capture } from '../../board/measured';
import { sideOf } from '../../board/sides';
import { network } from '../../circuit/ac';
import { type BoardNetwork, boardNetwork } from '../../circuit/from-board/build';
import { predicted, predictedOn, rmsOf } from '../../circuit/from-board/figures';
import { clippedBy } from '../../circuit/from-board/headroom';
import { programmes, sourcesFor } from '../../circuit/from-board/played';
import { basisOf, restsOnElements } from '../../circuit/from-board/rests-on';
import { needs } from '../../circuit/needs';
import type { Basis } from '../../quantity/figure';
import type { ChannelFigures } from '../../signal/figures';
import type { Draft, Snapshot } from '../check';
import { perSnapshot } from '../memo';
import { recorded } from '../recordings';

/** What a recording of a tone shows at a point beside what the network predicts. Levels are V RMS. */
export interface Deviation {
  readonly capture: Capture;
  readonly label: string;
  readonly played: string;
  readonly point: string;
  readonly text: string;
  readonly node: CopperNode;
  readonly span: Draft['span'];
  readonly side: 'left' | 'right' | undefined;
  readonly measured: number;
  /** Whether the tone was found; without it `measured` is all there is. */
  readonly toned: boolean;
  /** Of the tone; null where the recording is not scaled in volts, or the chip's full scale or the stimulus' level is not stated. */
  readonly predicted: number | null;
  /** The same as a ratio to 0 dBFS at the chip, where only that is known: fit for comparing two sides. */
  readonly gain: number;
  readonly scaled: boolean;
  /** What the prediction rests on; costs a solution for each element. */
  readonly basis: () => readonly Basis[];
}

/** Fraction of the predicted level below which a point that shows no tone counts as carrying nothing. */
const nothing = 0.1;

/** A predicted level this far below the loudest is crosstalk, and not a level to compare. */
const speaks = 0.05;

/** Every tone at every probed point that the network predicts a level for, in the last state's copper. */
export const deviations = perSnapshot((snapshot: Snapshot): Deviation[] => {
  return recorded(snapshot).flatMap((shown): Deviation[] => {
    const net = boardNetwork(snapshot.board.at(shown.capture.state));
    const { stimulus, level, capture } = shown;
    // What a generator feeds in from outside is not the chip's own level.
    if (!net || !stimulus || (capture.stimulus?.into.length ?? 0) > 0) return [];
    const { kind, side, frequency } = stimulus;
    if (kind !== 'tone' || frequency === undefined || side === undefined || side === 'unlike') return [];
    const found = shown.channels.flatMap((probed) =>
      probed.current ? (compare(net, capture, probed.channel, probed.figures, frequency, side, level) ?? []) : [],
    );
    const loudest = Math.max(0, ...found.map((one) => one.gain));
    return (
      found
        // Without a tone there is a level only where next to nothing is left of what was predicted.
        .filter((one) => one.toned || (one.predicted !== null && one.measured < one.predicted * nothing))
        .filter((one) => one.gain > loudest * speaks)
        .map((one) => ({ ...one, label: shown.label, played: shown.played }))
    );
  });
});

function compare(
  net: BoardNetwork,
  capture: Capture,
  channel: Capture['channels'][number],
  figures: ChannelFigures,
  hertz: number,
  side: 'left' | 'right' | 'both' | 'opposed',
  level: number | undefined,
): Omit<Deviation, 'label' | 'played'> | undefined {
  const points = channel.points;
  const node = net.copper.node(points[0]!.ref.name);
  const other = points[1] ? net.copper.node(points[1].ref.name) : net.reference;
  if (!node || !other) return undefined;
  const tested = withRecorder(net, node, other, capture.input);
  const gainOf = (of: BoardNetwork, unit?: number) =>
    rmsOf(predicted(of, node.name, other.name, hertz, side, unit === undefined ? {} : { unit }));
  const missing = needs(tested.netlist, (netlist) => gainOf({ ...tested, netlist, network: network(netlist) }, 1));
  const gain = gainOf(tested, 1);
  if (missing.length > 0 || gain === null) return undefined;
  if (level !== undefined && isClipped(tested, node.name, other.name, hertz, side, level)) return undefined;
  const scaled = figures.unit === 'V';
  const full = tested.outputs.every((output) => output.fullScale !== undefined);
  const absolute = scaled && full && level !== undefined ? gainOf(tested) : null;
  return {
    capture,
    point: points[0]!.ref.name,
    text: points.map((point) => point.text).join(' − '),
    node,
    span: channel.span,
    side: points.length === 1 ? sideOf(net.copper, node) : undefined,
    measured: figures.tone ? figures.tone.amplitude / Math.SQRT2 : figures.rms,
    toned: figures.tone !== null,
    predicted: absolute === null ? null : absolute * level!,
    gain,
    scaled,
    basis: () =>
      basisOf(
        net,
        restsOnElements(tested.network.at(hertz), (solved) =>
          rmsOf(predictedOn(tested, solved, node.name, other.name, side, { unit: 1 })),
        ),
        points.map((point) => point.ref.name),
      ),
  };
}

/** Whether a stage that the level hangs on runs out of supply: then nothing linear is to be expected. */
function isClipped(
  net: BoardNetwork,
  at: string,
  ref: string,
  hertz: number,
  side: 'left' | 'right' | 'both' | 'opposed',
  level: number,
): boolean {
  const solved = net.network.at(hertz);
  return programmes(side, level).some((programme) => {
    const sources = sourcesFor(net, programme);
    const railed = clippedBy(net, solved, sources);
    return (
      railed !== undefined &&
      restsOnElements(solved, (of) => of.solve(sources).between(at, ref)).includes(railed.stage.element)
    );
  });
}

/** The recorder's input is part of the network it looks at. */
function withRecorder(net: BoardNetwork, node: CopperNode, other: CopperNode, ohms: number | undefined): BoardNetwork {
  if (ohms === undefined || node === other) return net;
  const elements = [
    ...net.netlist.elements,
    { kind: 'load' as const, name: 'recorder', a: node.name, b: other.name, ohms },
  ];
  const netlist = { ...net.netlist, elements };
  return { ...net, netlist, network: network(netlist) };
}

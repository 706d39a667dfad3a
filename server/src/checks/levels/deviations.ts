import type { CopperNode } from '../../board/copper';
import type { Capture } from '../../board/measured';
import { sideOf } from '../../board/sides';
import { network } from '../../circuit/ac';
import type { Solved } from '../../circuit/factor';
import { type BoardNetwork, boardNetwork } from '../../circuit/from-board/build';
import { rmsOf } from '../../circuit/from-board/figures';
import { clippedBy } from '../../circuit/from-board/headroom';
import { basisOf, restsOnElements } from '../../circuit/from-board/rests-on';
import { needs } from '../../circuit/needs';
import type { Basis } from '../../quantity/figure';
import type { ChannelFigures } from '../../signal/figures';
import type { Draft, Snapshot } from '../check';
import { perSnapshot } from '../memo';
import { recorded } from '../recordings';
import { type Drive, driveOf } from './drive';

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
  /** Of the tone; null where the recording is not scaled in volts, or the chip's full scale or the level played is not stated. */
  readonly predicted: number | null;
  /** The same as a ratio to what is played, where only that is known: fit for comparing two sides. */
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
    const { kind, side, frequency } = shown.stimulus ?? {};
    if (!net || kind !== 'tone' || frequency === undefined) return [];
    const driven = driveOf(net, shown, frequency, side);
    if (!driven) return [];
    const found = shown.channels.flatMap((probed) =>
      probed.current ? (compare(driven, shown.capture, probed.channel, probed.figures) ?? []) : [],
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
  drive: Drive,
  capture: Capture,
  channel: Capture['channels'][number],
  figures: ChannelFigures,
): Omit<Deviation, 'label' | 'played'> | undefined {
  const { net, factor } = drive;
  const points = channel.points;
  const node = net.copper.node(points[0]!.ref.name);
  const clip = capture.groundLead && capture.groundLead !== 'none' ? capture.groundLead.ref.name : undefined;
  const back = points[1]?.ref.name ?? clip;
  const other = back === undefined ? net.reference : net.copper.node(back);
  if (!node || !other) return undefined;
  const tested = withRecorder(net, node, other, capture.input);
  const read = (unit?: number) => (solved: Solved) =>
    rmsOf(drive.sources(1, unit).map((sources) => solved.solve(sources).between(node.name, other.name)));
  const missing = needs(tested.netlist, (netlist) => read(1)(network(netlist).at(drive.hertz)));
  const solved = tested.network.at(drive.hertz);
  const gain = read(1)(solved);
  if (missing.length > 0 || gain === null) return undefined;
  const clipped =
    factor !== undefined &&
    drive.sources(factor).some((sources) => {
      const railed = clippedBy(tested, solved, sources);
      const hangs = (of: Solved) => of.solve(sources).between(node.name, other.name);
      return railed !== undefined && restsOnElements(solved, hangs).includes(railed.stage.element);
    });
  // A stage that runs out of supply gives nothing that a linear network could predict.
  if (clipped) return undefined;
  const scaled = figures.unit === 'V';
  const absolute = scaled && drive.full && factor !== undefined ? read()(solved) : null;
  return {
    capture,
    point: points[0]!.ref.name,
    text: points.map((point) => point.text).join(' − '),
    node,
    span: channel.span,
    side: points.length === 1 ? sideOf(net.copper, node) : undefined,
    measured: figures.tone ? figures.tone.amplitude / Math.SQRT2 : figures.rms,
    toned: figures.tone !== null,
    predicted: absolute === null ? null : absolute * factor!,
    gain,
    scaled,
    basis: () =>
      basisOf(
        tested,
        restsOnElements(solved, read(1)),
        points.map((point) => point.ref.name),
      ),
  };
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

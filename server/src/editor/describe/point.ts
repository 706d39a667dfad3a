import type { Copper, CopperNode, PinOnNode, PointRef } from '../../board/copper';
import { isCurrent } from '../../board/currency';
import { findFeed } from '../../board/feeds';
import { type Capture, stimulusText } from '../../board/measured';
import { pathText } from '../../board/paths';
import { isGround, isNegative, roleOf } from '../../board/roles';
import { recorded } from '../../checks/recordings';
import { nodeFigures, waysOf } from '../../circuit/from-board/place-figures';
import { formatQuantity } from '../../quantity/format';
import type { BoardAnalysis } from '../analysis';
import { bullets, code, paragraphs, prose, shorten } from '../markdown';
import { spelling } from '../names';
import { cautionsAt } from './cautions';
import { netFacts } from './net';
import { contactText, pinFacts, pinTitle } from './pin';
import { noTraces, plot, type Traces } from './plot';
import { figureLines, inUnit, levelText } from './quantities';

/** A point of the board: what it is by its data sheet, what it reaches here and how that is known, what was measured on it. */
export function describePoint(analysis: BoardAnalysis, ref: PointRef, traces: Traces = noTraces): string {
  const copper = analysis.board.at();
  const node = copper.node(ref.name);
  const part = ref.part === undefined ? undefined : copper.parts.get(ref.part);
  const pin = node?.pins.find((candidate) => candidate.name === ref.name);
  const spec = ref.pin === undefined ? undefined : part?.spec(ref.pin);
  const net = ref.part === undefined ? analysis.board.nets.get(ref.name) : undefined;
  const contact = contactText(part, ref.pin);
  const name = spelling(copper, ref.name);
  const shown = recordedAt(analysis, ref);
  const title = spec ? pinTitle(ref.name, spec, pin && node && roleOf(pin, node)) : `**${prose(name)}**`;
  const what = spec
    ? ''
    : contact
      ? `${contact} of ${prose(part!.style ?? part!.kind ?? '')}`
      : net || !part
        ? 'net'
        : (part.kind ?? '');
  return paragraphs(
    what === '' ? title : `${title} · ${what}`,
    // What can hurt comes first, then the picture: the editor puts findings above this, and what is below the fold is not seen.
    cautionsAt(analysis.board, ref.part ?? ref.name, part) ?? (pin && cautionsAt(analysis.board, pin.name)),
    shown && traces.has(shown.name) && `Recorded in ${code(shown.name)}, ${prose(stimulusText(shown.stimulus))}:`,
    shown && plot(shown, traces),
    part && !part.fitted && `${prose(part.designator)} is not fitted: its pads are open.`,
    spec && bullets(pinFacts(spec, part?.pinout)),
    net && bullets(netFacts(net)),
    node ? onBoard(copper, node, ref.name, pin) : 'Not met in any join yet.',
    node && signal(copper, node),
    node && measured(analysis, copper, node),
  );
}

/** The first recording taken at a point, its copper as it is now. */
export function recordedAt({ board, snapshot }: BoardAnalysis, ref: PointRef): Capture | undefined {
  const copper = board.at();
  const node = copper.node(ref.name);
  if (!node) return undefined;
  const on = (point: { readonly ref: PointRef }) => copper.node(point.ref.name) === node;
  return recorded(snapshot).find(({ channels }) =>
    channels.some(({ channel, current }) => current && channel.points.some(on)),
  )?.capture;
}

const evidenceOrder = ['buzzed', 'seen', 'assumed'] as const;

/** What copper joins to a point, strongest evidence first. */
function onBoard(copper: Copper, node: CopperNode, name: string, pin: PinOnNode | undefined): string {
  const others = node.points.filter((point) => point !== name);
  const lines = evidenceOrder.flatMap((evidence) => {
    const points = others
      .filter((point) => copper.proof(name, point)?.weakest === evidence)
      .map((point) => code(spelling(copper, point)));
    return points.length > 0 ? [`${evidence}: ${shorten(points)}`] : [];
  });
  if (lines.length === 0) lines.push(node.complete ? 'reaches nothing' : 'reaches nothing found yet');
  else if (!node.complete) lines.push('what else it reaches: not found yet');
  const role = pin && roleOf(pin, node);
  if (role === 'supply') {
    const feed = findFeed(copper, node, isNegative(node));
    lines.push(feed.by ? `fed by ${prose(feed.by)}` : feed.complete ? 'nothing feeds it' : 'its feed: not found yet');
  }
  if (isGround(node) && role !== 'ground') lines.push('a ground');
  return `**On this board**\n\n${bullets(lines)}`;
}

/** The ways of a signal over a node, and what the network says there. */
function signal(copper: Copper, node: CopperNode): string | undefined {
  const ways = isGround(node)
    ? []
    : waysOf(copper)
        .filter((path) => path.start === node || path.end === node || path.steps.some((step) => step.to === node))
        .map((path) => {
          const carries = path.carries === 'hot' || path.carries === 'cold' ? `the ${path.carries} leg` : path.carries;
          return `${prose(pathText(path))} (${carries})`;
        });
  const figures = figureLines(nodeFigures(copper, node), ways.length > 1);
  const lines = [...ways.slice(0, 4), ...figures.slice(0, 8)];
  return lines.length === 0 ? undefined : `**By the network**\n\n${bullets(lines)}`;
}

/** What recordings and readings say of a node as it is now. */
function measured(analysis: BoardAnalysis, copper: Copper, node: CopperNode): string | undefined {
  const { board, snapshot } = analysis;
  const here = (points: readonly { readonly ref: PointRef }[]) =>
    points.length === 1 && copper.node(points[0]!.ref.name) === node;
  const readings = board.readings
    .filter((reading) => here(reading.points))
    .map(
      (reading) =>
        `${prose(reading.label)}${isCurrent(board, reading.points, reading.state) ? '' : ' (before a rework)'}`,
    );
  const captures = recorded(snapshot).flatMap((shown) =>
    shown.channels
      .filter(({ channel }) => here(channel.points))
      .map(({ figures, current }) => {
        const dc = shown.capture.coupling === 'dc' ? `, DC ${inUnit(figures.dc, figures)}` : '';
        const tone = figures.tone ? `, tone at ${formatQuantity(figures.tone.frequency, 'Hz', 5)}` : '';
        return `${prose(shown.label)}, ${prose(shown.played)}: ${levelText(figures)}${dc}${tone}${current ? '' : ' (before a rework)'}`;
      }),
  );
  const lines = [...readings, ...captures];
  return lines.length === 0 ? undefined : `**Measured here**\n\n${bullets(lines.slice(0, 10))}`;
}

import type { Copper, CopperNode, PinOnNode } from '../board/copper';
import { outputs, pathsFrom, type SignalPath } from '../board/paths';
import { network as solve } from '../circuit/ac';
import { magnitude } from '../circuit/complex';
import { boardNetwork } from '../circuit/from-board/build';
import { returnOf, toneHertz } from '../circuit/from-board/figures';
import { missing } from '../circuit/from-board/missing';
import type { Netlist } from '../circuit/netlist';
import { formatQuantity } from '../quantity/format';
import type { Span } from '../text/span';
import type { BoardAnalysis } from './analysis';
import { partNamed, pinSpelling, pointOf, spelling } from './names';
import { targetAt } from './target';

/** A place a signal passes: an output, a node behind a part, a contact. Told as the protocol's call hierarchy. */
export interface PathItem {
  /** Point or net, as the board writes it. */
  readonly name: string;
  readonly detail: string;
  readonly span: Span;
  /** Canonical name of a point on its node: what the next question asks about. */
  readonly point: string;
}

/** One step of a signal: what it costs and through which part, and where that part stands. */
export interface PathStep {
  readonly item: PathItem;
  readonly through: string;
  readonly spans: readonly Span[];
}

/** The item at an offset, where a signal passes. */
export function pathItemAt(analysis: BoardAnalysis, offset: number): PathItem | undefined {
  const target = targetAt(analysis, offset);
  const point = target && pointOf(analysis.board, target);
  const copper = analysis.board.at();
  const node = point && copper.node(point.ref.name);
  if (!target || !point || !node || !pathsOver(copper, node).length) return undefined;
  return { name: target.text, detail: detailOf(copper, node), span: target.span, point: point.ref.name };
}

/** Where the signal goes from an item, one part further. */
export const onward = (analysis: BoardAnalysis, item: PathItem): PathStep[] => steps(analysis, item, 1);

/** Where it comes from, one part back. */
export const backward = (analysis: BoardAnalysis, item: PathItem): PathStep[] => steps(analysis, item, -1);

interface Stop {
  readonly node: CopperNode;
  /** The part passed to get here; undefined at the output. */
  readonly part: SignalPath['steps'][number]['part'] | undefined;
}

const stopsOf = (path: SignalPath): Stop[] => [
  { node: path.start, part: undefined },
  ...path.steps.map((step) => ({ node: step.to, part: step.part })),
];

const pathsOver = (copper: Copper, node: CopperNode): SignalPath[] =>
  outputs(copper)
    .flatMap(({ pin, node: start }) => pathsFrom(copper, pin, start))
    .filter((path) => stopsOf(path).some((stop) => stop.node === node));

function steps(analysis: BoardAnalysis, item: PathItem, way: 1 | -1): PathStep[] {
  const copper = analysis.board.at();
  const node = copper.node(item.point);
  if (!node) return [];
  const found = new Map<string, PathStep>();
  for (const path of pathsOver(copper, node)) {
    const stops = stopsOf(path);
    const at = stops.findIndex((stop) => stop.node === node);
    const next = stops[at + way];
    const part = (way === 1 ? next : stops[at])?.part;
    if (!next || !part) continue;
    const from = stops[at]!.node;
    const loss = lossBetween(copper, path, way === 1 ? from : next.node, way === 1 ? next.node : from);
    const item = itemOf(analysis, copper, path, next.node, at + way === stops.length - 1);
    const declared = partNamed(analysis.board, part.designator)?.declared?.keySpan;
    const through = `${loss === undefined ? '' : `${loss}, `}through ${part.designator}`;
    const key = `${item.point} ${part.designator}`;
    if (!found.has(key))
      found.set(key, {
        // What a narrow view cuts off is the end.
        item: { ...item, detail: `${through} · ${item.detail}` },
        through,
        spans: declared ? [declared] : [],
      });
  }
  return [...found.values()];
}

function itemOf(analysis: BoardAnalysis, copper: Copper, path: SignalPath, node: CopperNode, last: boolean): PathItem {
  const pin: PinOnNode | undefined = node === path.start ? path.from : last ? path.contact : undefined;
  return {
    name: pin ? pinSpelling(copper, pin) : spelling(copper, node.name),
    detail: detailOf(copper, node),
    span: spanOf(analysis, pin?.name ?? node.name, node),
    point: pin?.name ?? node.points[0]!,
  };
}

/** Where a node is met first in the file, by the name wanted where it is. */
function spanOf({ board }: BoardAnalysis, name: string, node: CopperNode): Span {
  const written = board.at().joins.flatMap((join) => join.points);
  const on =
    written.find((point) => point.ref.name === name) ?? written.find((point) => node.points.includes(point.ref.name));
  return on?.span ?? board.nets.get(name)?.keySpan ?? { start: 0, end: 0 };
}

function detailOf(copper: Copper, node: CopperNode): string {
  const out = outputs(copper).find((one) => one.node === node);
  const contact = node.pins.find((pin) => pin.duty);
  return out
    ? `output ${out.pin.spec?.name ?? out.pin.name}`
    : contact
      ? `${contact.duty}, ${contact.part.designator}`
      : 'node';
}

/** dB lost from one node of a path to the next at 997 Hz, everything connected. */
function lossBetween(copper: Copper, path: SignalPath, from: CopperNode, to: CopperNode): string | undefined {
  const network = boardNetwork(copper);
  const output = network?.outputs.find((one) => one.name === path.from.name);
  const back = network && returnOf(network, path);
  if (!network || !output || !back) return undefined;
  const ratio = (netlist: Netlist): number | null => {
    const solved = solve(netlist)
      .at(toneHertz)
      .solve({ [output.name]: 1 });
    const [before, after] = [solved.between(from.name, back.name), solved.between(to.name, back.name)];
    return before && after && magnitude(before) > 0 ? magnitude(after) / magnitude(before) : null;
  };
  const needs = missing(network, ratio);
  if (needs.length > 0) return `needs ${needs.join(', ')}`;
  const value = ratio(network.netlist);
  if (value === null || !(value > 0)) return undefined;
  // Capacitors at 997 Hz cost millionths: nobody measures those.
  return formatQuantity(Math.round(2000 * Math.log10(value)) / 100, 'dB');
}

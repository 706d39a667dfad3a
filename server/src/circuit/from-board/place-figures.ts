import type { Copper, CopperNode } from '../../board/copper';
import { outputs, pathsFrom, pathText, type SignalPath } from '../../board/paths';
import type { Basis } from '../../quantity/figure';
import { formatQuantity } from '../../quantity/format';
import { network } from '../ac';
import { floatingText } from '../floating';
import { type BoardNetwork, boardNetwork } from './build';
import { type Clipped, type Known, type PathFigures, pathFigures } from './figures';
import { railedAtRest } from './headroom';
import { missingAtRest } from './missing';
import { pointOn } from './reference';
import { restBetween } from './rest';
import { wayHome } from './way-home';

/** One short line for a place: what the network says there, over which way, and what it rests on. */
export interface PlaceFigure {
  readonly kind:
    | 'loss'
    | 'corner'
    | 'impedance'
    | 'level'
    | 'dc'
    | 'return'
    | 'stress'
    | 'power'
    | 'current'
    | 'equal'
    | 'load';
  /** "corner 7.2 Hz into 10 kΩ", "−6.4 dB to J2.tip", "needs R4". */
  readonly text: string;
  /** The way or the points it was worked out over: "U1.14 – C7 – R4 – J2.tip". */
  readonly over: string;
  /** Worked out when asked for. */
  readonly basis: readonly Basis[];
}

/** A line; its basis is worked out when asked for. */
export const line = (
  kind: PlaceFigure['kind'],
  text: string,
  over: string,
  basis: () => readonly Basis[] = () => [],
): PlaceFigure => ({
  kind,
  text,
  over,
  get basis() {
    return basis();
  },
});

/** "needs R4": what stands in for a figure that hangs on values nobody has said; nothing where it floats. */
export const needed = (kind: PlaceFigure['kind'], names: readonly string[], over: string): PlaceFigure[] =>
  names.length === 0 ? [] : [line(kind, `needs ${names.join(', ')}`, over)];

/**
 * What the network says at a node: at the end of a way its loss, corner, level and impedance and how its current comes home, at
 * the start or along it the loss to each end; its DC. Empty for a ground, and where there is no network.
 */
export function nodeFigures(copper: Copper, node: CopperNode): PlaceFigure[] {
  const board = boardNetwork(copper);
  if (!board || node === board.reference) return [];
  const over = (path: SignalPath) =>
    path.start === node || path.end === node || path.steps.some((step) => step.to === node);
  const lines = waysOf(copper)
    .filter(over)
    .flatMap((path) => {
      const figures = pathFigures(board, path);
      if (!figures) return [];
      return path.end === node ? [...wayLines(figures, true), ...endLines(board, figures)] : wayLines(figures, false);
    });
  return unlike([...lines, ...dcLines(board, node)]);
}

/** Every way from an output of a state to a contact or net. */
export const waysOf = (copper: Copper): SignalPath[] =>
  outputs(copper).flatMap(({ pin, node }) => pathsFrom(copper, pin, node));

/** Loss and corner of a way, told from its end or from before it. */
export function wayLines({ path, loss, corner }: PathFigures, atEnd: boolean): PlaceFigure[] {
  const over = pathText(path);
  const far = atEnd ? `from ${path.from.name}` : `to ${path.contact?.name ?? path.end.name}`;
  const load = path.contact?.part.load ?? path.end.nets.find((net) => net.load !== undefined)?.load;
  const into = load === undefined ? '' : ` into ${formatQuantity(load, 'Ω')}`;
  return [
    ...said('loss', loss, over, (db) => `${formatQuantity(Math.abs(db) < 0.05 ? 0 : db, 'dB', 2)} ${far}`),
    ...(corner === null
      ? []
      : said('corner', corner, over, (hertz) => `corner ${formatQuantity(hertz, 'Hz', 2)}${into}`)),
  ];
}

/** What stands at the end of a way: level of a full-scale tone, impedance, and how its current comes back. */
function endLines(board: BoardNetwork, figures: PathFigures): PlaceFigure[] {
  const over = pathText(figures.path);
  const home = wayHome(board, figures.path);
  return [
    ...('clips' in figures.level
      ? [line('level', clipText(figures.level), over)]
      : said('level', figures.level, over, (volts) => `${formatQuantity(volts, 'V')} at 0 dBFS`)),
    ...said('impedance', figures.impedance, over, (ohms) => `${formatQuantity(ohms, 'Ω')} source`),
    ...(home ? [line('return', home.text, over, () => home.basis)] : []),
  ];
}

/** "clips above −3.2 dBFS at the latest: the supply of U3.1 is 0 V to 5 V". */
export function clipText({ clips: { at, low, high, from } }: Clipped): string {
  const supply = `the supply of ${at} is ${formatQuantity(round(low), 'V')} to ${formatQuantity(round(high), 'V')}`;
  return from < -60 ? `clips: ${supply}` : `clips above ${formatQuantity(from, 'dBFS', 2)} at the latest: ${supply}`;
}

function said(kind: PlaceFigure['kind'], known: Known, over: string, text: (value: number) => string): PlaceFigure[] {
  if ('needs' in known) return needed(kind, known.needs, over);
  return [line(kind, text(known.figure.value), over, () => known.figure.basis)];
}

/** DC against ground, or what floats there, or what it would need. */
function dcLines(board: BoardNetwork, node: CopperNode): PlaceFigure[] {
  const { reference } = board;
  const over = `${node.name} against ${reference.name}`;
  const rest = restBetween(board, node, reference);
  if (rest) return [line('dc', `${formatQuantity(round(rest.volts), 'V')} DC`, over, () => rest.basis)];
  const railed = railedAtRest(board).find(({ stage }) => stage.node === node.name);
  if (railed) {
    const { low, high } = railed;
    return [
      line('dc', `rests at a supply: ${formatQuantity(round(low), 'V')} or ${formatQuantity(round(high), 'V')}`, over),
    ];
  }
  const wanted = missingAtRest(board, (netlist) => network(netlist).dc.solution.voltage(node.name));
  if (wanted.length > 0) return needed('dc', wanted, `${pointOn(node)} against ${reference.name}`);
  const floating = board.network.dc.solved.floating.find((part) => part.nodes.includes(node.name));
  return floating ? [line('dc', floatingText(floating, 0), over)] : [];
}

/** Less than a microvolt is the solver's rounding, or a meter's. */
const round = (volts: number) => (Math.abs(volts) < 1e-6 ? 0 : volts);

/** The same line over two ways is told once. */
export function unlike(lines: readonly PlaceFigure[]): PlaceFigure[] {
  const seen = new Set<string>();
  return lines.filter(({ kind, text }) => !seen.has(`${kind} ${text}`) && seen.add(`${kind} ${text}`));
}

import type { CopperNode, Join } from '../../board/copper';
import { joinsAlong, type SignalPath } from '../../board/paths';
import type { Basis, Figure } from '../../quantity/figure';
import { network } from '../ac';
import type { Sources } from '../assemble';
import { type Complex, magnitude } from '../complex';
import { cornerOf } from '../corner';
import { impedanceBetween } from '../transfer';
import { type BoardNetwork, joinBasis } from './build';
import { clippedBy } from './headroom';
import { missing } from './missing';
import { pointOn } from './reference';
import { basisOf, type Read, restsOnElements } from './rests-on';

/** A figure, or what it would take to work it out: names of parts whose value is not stated; empty where something floats. */
export type Known = { readonly figure: Figure } | { readonly needs: readonly string[] };

/** A level that a stage on the way cannot give: its supplies cut it, from `from` dBFS on at the latest. */
export interface Clipped {
  readonly clips: { readonly at: string; readonly low: number; readonly high: number; readonly from: number };
}

/** What the network says about one way from an output to a contact or net. */
export interface PathFigures {
  readonly path: SignalPath;
  /** Where the return of the end is: what its volts are against. */
  readonly back: CopperNode;
  /** dB from the output's open-circuit volts to the end against its return, at 997 Hz. */
  readonly loss: Known;
  /** The −3 dB frequency downwards, with all loads; null where the response goes down to DC. */
  readonly corner: Known | null;
  /** Ω seen into the end, what is plugged in there taken away, at 997 Hz. */
  readonly impedance: Known;
  /** V RMS at the end for a 0 dBFS tone on the programmes the output carries, alone. */
  readonly level: Known | Clipped;
}

/** The frequency figures are told at: AES17's. */
export const toneHertz = 997;
/** Where coupling capacitors speak: a frequency below which corners of interest lie, or little above. */
const lowHertz = 5;

/** Figures of a path; undefined where the output is no source of the network or the end has no return. */
export function pathFigures(board: BoardNetwork, path: SignalPath): PathFigures | undefined {
  const output = board.outputs.find((candidate) => candidate.name === path.from.name);
  const back = returnOf(board, path);
  if (!output || !back || path.end === back) return undefined;
  const end = path.end.name;
  const ref = back.name;
  const asked: Asked = {
    board,
    points: [output.name, ...endPoints(board, path, back)],
    joins: joinsAlong(board.copper, path),
  };
  const gain: Read = (solved) => solved.solve({ [output.name]: 1 }).between(end, ref);
  const own = board.netlist.elements.filter(
    ({ name, ...element }) =>
      element.kind === 'load' && (element.a === end || element.b === end) && name.startsWith('load'),
  );
  const plugged = own.map((element) => element.name);
  const { fullScale } = output;
  const loss = once(() => knownAt(asked, 'dB', gain, (value) => 20 * Math.log10(value)));
  const corner = once(() => knownCorner(asked, gain));
  const seen: Read = (solved) => impedanceBetween(solved, end, ref, plugged);
  const impedance = once(() => {
    const unstated = unstatedSources(board, seen);
    return unstated.length > 0 ? { needs: unstated } : knownAt(asked, 'Ω', seen);
  });
  const level = once(() =>
    fullScale === undefined
      ? { needs: [`full-scale of ${output.name}`] }
      : (clipped(board, path, { [output.name]: fullScale }) ?? knownAt(asked, 'V', gain, (value) => value * fullScale)),
  );
  return {
    path,
    back,
    get loss() {
      return loss();
    },
    get corner() {
      return corner();
    },
    get impedance() {
      return impedance();
    },
    get level() {
      return level();
    },
  };
}

/** Outputs whose impedance the sheet does not state, taken as 0 Ω in a divider, where it is the very figure that is asked for. */
function unstatedSources(board: BoardNetwork, read: Read): string[] {
  const silent = board.outputs.filter(({ pin }) => pin.spec?.impedance === undefined).map(({ name }) => name);
  if (silent.length === 0) return [];
  const base = size(read(board.network.at(toneHertz)));
  return silent.flatMap((name) => {
    const elements = board.netlist.elements.map((element) =>
      element.name === name && element.kind === 'voltage' ? { ...element, ohms: trialOhms } : element,
    );
    const other = size(read(network({ ...board.netlist, elements }).at(toneHertz)));
    return base !== null && other !== null && Math.abs(other - base) > noticeableOhms ? [`impedance of ${name}`] : [];
  });
}

/** Ω tried behind an output whose impedance is not stated, and how much of it must show for the figure to hang on it. */
const trialOhms = 50;
const noticeableOhms = 1;

/** What cuts a full-scale tone on a path; nothing where all of it fits, or no supplies are known. */
function clipped(board: BoardNetwork, path: SignalPath, sources: Sources): Clipped | undefined {
  const nodes = new Set([path.start, ...path.steps.map((step) => step.to)].map((node) => node.name));
  const railed = clippedBy(board, board.network.at(toneHertz), sources, (stage) => nodes.has(stage.node));
  if (!railed) return undefined;
  const { stage, low, high, fits } = railed;
  return { clips: { at: stage.point, low, high, from: 20 * Math.log10(fits) } };
}

/** Worked out when first asked for. */
function once<T>(make: () => T): () => T {
  let known: { readonly value: T } | undefined;
  return () => {
    known ??= { value: make() };
    return known.value;
  };
}

/** A figure whose basis, which costs a solution for each element, is worked out when first asked for. */
function figureOf(value: number, unit: string, basis: () => readonly Basis[]): { readonly figure: Figure } {
  const kept = once(basis);
  return {
    figure: {
      value,
      unit,
      sd: null,
      get basis() {
        return kept();
      },
    },
  };
}

/** Points that stand for the two ends of a path. */
function endPoints(board: BoardNetwork, path: SignalPath, back: CopperNode): string[] {
  const connector = path.contact?.part;
  const common = connector?.contacts.find((contact) => board.copper.nodeOf(connector, contact) === back);
  return [
    path.contact?.name ?? pointOn(path.end),
    connector && common !== undefined ? connector.point(common) : pointOn(back),
  ];
}

/** What a path's end is measured against: its connector's common, a balanced contact's other leg, else the reference. */
export function returnOf(board: BoardNetwork, path: Pick<SignalPath, 'contact' | 'carries'>): CopperNode | undefined {
  const part = path.contact?.part;
  if (!part) return board.reference;
  const wanted = path.carries === 'hot' ? 'cold' : path.carries === 'cold' ? 'hot' : 'common';
  for (const duty of [wanted, 'common'] as const)
    for (const contact of part.contacts) {
      const node = part.duty(contact) === duty ? board.copper.nodeOf(part, contact) : undefined;
      if (node) return node;
    }
  return undefined;
}

/** Whose figure is asked for: the points it is about, and the joins its way runs over. */
interface Asked {
  readonly board: BoardNetwork;
  readonly points: readonly string[];
  readonly joins: readonly Join[];
}

const basisFor = ({ board, points, joins }: Asked, elements: readonly string[]): Basis[] => {
  const facts = new Map([...joinBasis(joins), ...basisOf(board, elements, points)].map((fact) => [fact.what, fact]));
  return [...facts.values()];
};

/** The magnitude of what is read at 997 Hz, by `shown`; or the parts without a value it hangs on. */
function knownAt(asked: Asked, unit: string, read: Read, shown: (value: number) => number = (value) => value): Known {
  const { board } = asked;
  const wanted = missing(board, (netlist) => size(read(network(netlist).at(toneHertz))));
  if (wanted.length > 0) return { needs: wanted };
  const solved = board.network.at(toneHertz);
  const found = size(read(solved));
  const value = found === null ? Number.NaN : shown(found);
  if (!Number.isFinite(value)) return { needs: [] };
  return figureOf(value, unit, () => basisFor(asked, restsOnElements(solved, read)));
}

/** The −3 dB corner downwards; what it rests on is what moves the gain there or in the passband. */
function knownCorner(asked: Asked, gain: Read): Known | null {
  const { board } = asked;
  // What moves the corner moves the level near it against that of the passband: two solutions instead of a whole search.
  const wanted = missing(board, (netlist) => {
    const opened = network(netlist);
    const [low, high] = [lowHertz, toneHertz].map((hertz) => size(gain(opened.at(hertz))));
    return low === null || low === undefined || !high ? null : low / high;
  });
  if (wanted.length > 0) return { needs: wanted };
  const value = cornerOf((hertz) => size(gain(board.network.at(hertz))), 'high-pass');
  if (value === null) return null;
  return figureOf(value, 'Hz', () => {
    const elements = [value, toneHertz].flatMap((hertz) => restsOnElements(board.network.at(hertz), gain));
    return basisFor(asked, [...new Set(elements)]);
  });
}

const size = (value: Complex | number | null): number | null =>
  value === null || typeof value === 'number' ? value : magnitude(value);

/** RMS of phasors that are unlike one another; null where one is not known. */
export function rmsOf(phasors: readonly (Complex | null)[]): number | null {
  let sum = 0;
  for (const phasor of phasors) {
    if (phasor === null) return null;
    sum += magnitude(phasor) ** 2;
  }
  return Math.sqrt(sum);
}

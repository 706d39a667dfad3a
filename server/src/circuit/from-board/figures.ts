import type { CopperNode } from '../../board/copper';
import { joinsAlong, type SignalPath } from '../../board/paths';
import type { Basis, Figure } from '../../quantity/figure';
import { network } from '../ac';
import { type Complex, magnitude } from '../complex';
import { cornerOf } from '../corner';
import { needs } from '../needs';
import type { Netlist } from '../netlist';
import { impedanceBetween } from '../transfer';
import { type BoardNetwork, joinBasis } from './build';
import { programmes, sourcesFor } from './played';

/** A figure, or what it would take to work it out: names of parts whose value is not stated; empty where something floats. */
export type Known = { readonly figure: Figure } | { readonly needs: readonly string[] };

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
  readonly level: Known;
}

/** The frequency figures are told at: AES17's. */
export const toneHertz = 997;

/** Figures of a path; undefined where the output is no source of the network or the end has no return. */
export function pathFigures(board: BoardNetwork, path: SignalPath): PathFigures | undefined {
  const output = board.outputs.find((candidate) => candidate.name === path.from.name);
  const back = returnOf(board, path);
  if (!output || !back || path.end === back) return undefined;
  const end = path.end.name;
  const ref = back.name;
  const basis = basisOf(board, path);
  const one = (netlist: Netlist, hertz: number): Complex | null =>
    network(netlist)
      .at(hertz)
      .solve({ [output.name]: 1 })
      .between(end, ref);
  const loss = known(board, basis, 'dB', (netlist) => {
    const gain = one(netlist, toneHertz);
    return gain && 20 * Math.log10(magnitude(gain));
  });
  const impedance = known(board, basis, 'Ω', (netlist) => {
    const loadNames = netlist.elements
      .filter(
        (element) =>
          element.kind === 'load' && (element.a === end || element.b === end) && element.name.startsWith('load'),
      )
      .map((element) => element.name);
    const seen = impedanceBetween(network(netlist).at(toneHertz), end, ref, loadNames);
    return seen && magnitude(seen);
  });
  const level = known(board, basis, 'V', (netlist) => {
    if (output.fullScale === undefined) return null;
    const gain = one(netlist, toneHertz);
    return gain && magnitude(gain) * output.fullScale;
  });
  return {
    path,
    back,
    loss,
    corner: cornerFigure(board, basis, (netlist) =>
      cornerOf((hertz) => {
        const gain = one(netlist, hertz);
        return gain && magnitude(gain);
      }, 'high-pass'),
    ),
    impedance,
    level:
      'needs' in level && level.needs.length === 0 && output.fullScale === undefined
        ? { needs: [`full-scale of ${output.name}`] }
        : level,
  };
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

/** The facts a figure over a path rests on: its joins, and the values of the parts passed. */
export function basisOf(board: BoardNetwork, path: SignalPath): Basis[] {
  const facts: Basis[] = joinBasis(joinsAlong(board.copper, path));
  const names = [path.from.name, ...path.steps.map((step) => step.part.designator)];
  for (const [name, basis] of board.basis)
    if (names.some((wanted) => name === wanted || name.startsWith(`${wanted} `))) facts.push(...basis);
  return facts;
}

/** Works a figure out, or names what it needs. */
export function known(
  board: BoardNetwork,
  basis: readonly Basis[],
  unit: string,
  work: (netlist: Netlist) => number | null,
): Known {
  const missing = needs(board.netlist, work);
  if (missing.length > 0) return { needs: missing };
  const value = work(board.netlist);
  return value === null || !Number.isFinite(value) ? { needs: [] } : { figure: { value, unit, sd: null, basis } };
}

function cornerFigure(
  board: BoardNetwork,
  basis: readonly Basis[],
  work: (netlist: Netlist) => number | null,
): Known | null {
  const missing = needs(board.netlist, work);
  if (missing.length > 0) return { needs: missing };
  const value = work(board.netlist);
  return value === null ? null : { figure: { value, unit: 'Hz', sd: null, basis } };
}

/** Phasors at a node against another for the programmes of a stimulus side, each worked out alone: unlike ones add as powers. */
export function predicted(
  board: BoardNetwork,
  at: string,
  ref: string,
  hertz: number,
  side: Parameters<typeof programmes>[0],
  options: { readonly level?: number; readonly mode?: string; readonly unit?: number } = {},
): (Complex | null)[] {
  const solved = board.network.at(hertz);
  return programmes(side, options.level).map((programme) =>
    solved.solve(sourcesFor(board, programme, options)).between(at, ref),
  );
}

/** RMS of phasors that are unlike one another; null where one is not known. */
export function rmsOf(phasors: readonly (Complex | null)[]): number | null {
  let sum = 0;
  for (const phasor of phasors) {
    if (phasor === null) return null;
    sum += magnitude(phasor) ** 2;
  }
  return Math.sqrt(sum);
}

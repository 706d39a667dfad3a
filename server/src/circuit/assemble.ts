import { type Complex, inverse, magnitude, negate, one, polar, real, scale } from './complex';
import { seriesImpedance } from './impedance';
import type { Entries, Vector } from './matrix';
import { vector } from './matrix';
import { type Linear, nodesOf, type Source } from './netlist';

/** A network without diodes: what one linear analysis takes. */
export interface LinearNetlist {
  readonly reference: string;
  readonly elements: readonly Linear[];
}

/** The source phasors of one solution, by element name; a source that is not named is off. */
export type Sources = Readonly<Record<string, Complex | number>>;

/**
 * The equations of modified nodal analysis (Ho, Ruehli and Brennan, IEEE Trans. Circuits Syst. 22, 1975, 504; from memory):
 * one of Kirchhoff's current law a node, one more a branch whose current is itself an unknown.
 */
export interface System {
  readonly frequency: number;
  readonly size: number;
  readonly entries: Entries;
  /** Node → unknown; the reference has −1. */
  readonly nodes: ReadonlyMap<string, number>;
  /** Element → the unknown that is its current, and the row of its own equation. */
  readonly branches: ReadonlyMap<string, number>;
  /** Element → admittance in S, where its current is not an unknown. */
  readonly admittances: ReadonlyMap<string, Complex>;
  readonly elements: ReadonlyMap<string, Linear>;
}

/**
 * Below this many ohms a part gets its current as an unknown: as an admittance it would drown the megohms on the same node
 * in rounding, and at 0 Ω it has none.
 */
const lowOhms = 1;

/** Writes a network's equations at a frequency in Hz; 0 is DC, where the equations are real. */
export function assemble(netlist: LinearNetlist, frequency: number): System {
  const nodes = new Map<string, number>([[netlist.reference, -1]]);
  for (const element of netlist.elements)
    for (const node of nodesOf(element)) if (!nodes.has(node)) nodes.set(node, nodes.size - 1);
  let size = nodes.size - 1;
  const listed = { row: [] as number[], column: [] as number[], re: [] as number[], im: [] as number[] };
  const branches = new Map<string, number>();
  const admittances = new Map<string, Complex>();
  const elements = new Map<string, Linear>();

  const put = (row: number, column: number, value: Complex) => {
    if (row < 0 || column < 0) return;
    listed.row.push(row);
    listed.column.push(column);
    listed.re.push(value.re);
    listed.im.push(value.im);
  };
  /** A current from a to b of `value` times (plus above minus). */
  const putAdmittance = (a: number, b: number, plus: number, minus: number, value: Complex) => {
    put(a, plus, value);
    put(a, minus, negate(value));
    put(b, plus, negate(value));
    put(b, minus, value);
  };
  const putBranch = (name: string, a: number, b: number): number => {
    const row = size++;
    branches.set(name, row);
    put(a, row, one);
    put(b, row, real(-1));
    return row;
  };

  for (const element of netlist.elements) {
    if (elements.has(element.name)) throw new Error(`two elements are called ${element.name}`);
    elements.set(element.name, element);
    const at = (node: string) => nodes.get(node)!;
    if (element.kind === 'op-amp') {
      const row = putBranch(element.name, at(element.out), -1);
      put(row, at(element.plus), one);
      put(row, at(element.minus), real(-1));
      continue;
    }
    const a = at(element.a);
    const b = at(element.b);
    if (element.kind === 'vccs') {
      putAdmittance(a, b, at(element.plus), at(element.minus), real(element.siemens));
      continue;
    }
    const impedance = seriesImpedance(element, frequency);
    if (impedance === null) continue;
    const isSource = element.kind === 'voltage' || element.kind === 'vcvs';
    if (!isSource && element.kind !== 'inductor' && magnitude(impedance) >= lowOhms) {
      const admittance = inverse(impedance);
      admittances.set(element.name, admittance);
      putAdmittance(a, b, a, b, admittance);
      continue;
    }
    const row = putBranch(element.name, a, b);
    put(row, a, one);
    put(row, b, real(-1));
    put(row, row, negate(impedance));
    if (element.kind === 'vcvs') {
      put(row, at(element.plus), real(-element.gain));
      put(row, at(element.minus), real(element.gain));
    }
  }
  const entries: Entries = {
    row: Int32Array.from(listed.row),
    column: Int32Array.from(listed.column),
    re: Float64Array.from(listed.re),
    im: Float64Array.from(listed.im),
    widest: new Float64Array(size),
  };
  for (const [k, row] of listed.row.entries())
    entries.widest[row] = Math.max(entries.widest[row]!, Math.abs(listed.re[k]!) + Math.abs(listed.im[k]!));
  return { frequency, size, entries, nodes, branches, admittances, elements };
}

/** The phasor a source has by its own account at a frequency: `dc` at 0, else `ac` and `phase`. */
export function phasor(source: Source, frequency: number): Complex {
  return frequency === 0 ? real(source.dc ?? 0) : polar(source.ac ?? 0, source.phase ?? 0);
}

/** A voltage or current source: what may be switched on and off by name. */
export const isSource = (element: { readonly kind: string }): element is Source =>
  element.kind === 'voltage' || element.kind === 'current';

/** Every source of the network at its own phasor. */
export function ownSources(netlist: LinearNetlist, frequency: number): Sources {
  return Object.fromEntries(
    netlist.elements.filter(isSource).map((element) => [element.name, phasor(element, frequency)]),
  );
}

/** The right-hand side with every source of `sources` on. A name that is no source is a mistake of the caller and throws. */
export function rightHand(system: System, sources: Sources): Vector {
  const b = vector(system.size, system.frequency !== 0);
  const put = (row: number, value: Complex) => {
    if (row < 0) return;
    b.re[row]! += value.re;
    if (b.im) b.im[row]! += value.im;
  };
  for (const [name, given] of Object.entries(sources)) {
    const element = system.elements.get(name);
    if (!element) throw new Error(`no element is called ${name}`);
    const value = typeof given === 'number' ? real(given) : given;
    if (element.kind === 'voltage') put(system.branches.get(name) ?? -1, value);
    else if (element.kind === 'current') {
      put(system.nodes.get(element.a)!, scale(value, -1));
      put(system.nodes.get(element.b)!, value);
    } else if (!isOpen(element)) throw new Error(`${name} is not a source`);
  }
  return b;
}

/** What a source has become once a change has opened it; it is still asked for by its name. */
const isOpen = (element: Linear): boolean => element.kind === 'resistor' && element.ohms === Number.POSITIVE_INFINITY;

import { assemble, type LinearNetlist, ownSources, rightHand, type Sources, type System } from './assemble';
import { appliedLinear, type Change } from './changes';
import type { Complex } from './complex';
import { differs, type Floating, namedFloating } from './floating';
import { redundantRows } from './islands';
import { accumulate, backwardErrors, type Vector, vector, worstError } from './matrix';
import { Solution } from './solution';
import { factoriseSparse, type SparseLu } from './sparse';
import { update } from './update';

/** A network made ready at one frequency: every further right-hand side or small change costs little. */
export interface Solved {
  readonly netlist: LinearNetlist;
  /** Hz; 0 for DC. */
  readonly frequency: number;
  /** What nothing determines, named; the rest is solved all the same. */
  readonly floating: readonly Floating[];
  /** With the sources named and all others off; without argument, with every source at its own phasor. */
  solve(sources?: Sources): Solution;
  /** With 1 A taken out of node `from` and put into node `to`, every source off: voltages are then impedances in Ω. */
  inject(from: string, to: string): Solution;
  /** The network with some elements changed; cheap while a change is a low-rank update. */
  with(changes: readonly Change[]): Solved;
}

/** A sparse right-hand side: rows and their values. */
type Places = readonly (readonly [number, number])[];

/** An equation missed by more than this fraction of its terms is not met: it contradicts another. */
const missed = 1e-9;

/** Unknowns of all answers that a factorisation keeps, 16 bytes each. */
const mostKept = 1e6;

/** Factors a linear network at a frequency in Hz; 0 is DC. */
export const factorLinear = (netlist: LinearNetlist, frequency: number): Factored => new Factored(netlist, frequency);

/** The network factored from its own equations, with the answers to unit sources kept. */
export class Factored implements Solved {
  readonly netlist: LinearNetlist;
  readonly frequency: number;
  readonly system: System;
  private readonly lu: SparseLu;
  private readonly nullVectors: readonly Vector[];
  private readonly units = new Map<string, Vector>();

  constructor(netlist: LinearNetlist, frequency: number) {
    this.netlist = netlist;
    this.frequency = frequency;
    this.system = assemble(netlist, frequency);
    const redundant = redundantRows(this.system);
    this.lu = factoriseSparse(this.system.entries, this.system.size, frequency !== 0, redundant);
    this.nullVectors = this.lu.nullVectors();
  }

  private named: readonly Floating[] | undefined;

  get floating(): readonly Floating[] {
    this.named ??= namedFloating(this.system, this.nullVectors);
    return this.named;
  }

  /** False where the equations are singular: such a factorisation is no base for updates. */
  get regular(): boolean {
    return this.nullVectors.length === 0;
  }

  solve(sources: Sources = ownSources(this.netlist, this.frequency)): Solution {
    return this.solution(this.response(sources), rightHand(this.system, sources), sources);
  }

  inject(from: string, to: string): Solution {
    const at = this.injection(from, to);
    return this.solution(this.column(at), this.unit(at), {});
  }

  with(changes: readonly Change[]): Solved {
    return update(this, appliedLinear(this.netlist, changes), changes);
  }

  /** Another network at the same frequency, factored from its own equations. */
  anew(netlist: LinearNetlist): Factored {
    return new Factored(netlist, this.frequency);
  }

  /** The unknowns for some sources, as a sum of the answers to each alone at 1 V or 1 A. */
  response(sources: Sources): Vector {
    const x = vector(this.system.size, this.frequency !== 0);
    for (const [name, given] of Object.entries(sources)) {
      const value: Complex = typeof given === 'number' ? { re: given, im: 0 } : given;
      accumulate(
        x,
        this.kept(`source ${name}`, () => rightHand(this.system, { [name]: 1 })),
        value.re,
        value.im,
      );
    }
    return x;
  }

  /** The unknowns for a right-hand side of a few entries, kept under a key that stands for it. */
  column(at: Places): Vector {
    return this.kept(`at ${at.join(';')}`, () => this.unit(at));
  }

  /** 1 A out of one node into another, as a right-hand side. A node that does not exist is the caller's mistake and throws. */
  injection(from: string, to: string): Places {
    const row = (node: string) => {
      const at = this.system.nodes.get(node);
      if (at === undefined) throw new Error(`no node is called ${node}`);
      return at;
    };
    return [
      [row(from), -1],
      [row(to), 1],
    ];
  }

  private kept(key: string, b: () => Vector): Vector {
    let x = this.units.get(key);
    if (!x) {
      x = this.lu.solve(b());
      // Of a large network a few hundred answers would fill the memory: the oldest goes.
      if (this.units.size * this.system.size >= mostKept) this.units.delete(this.units.keys().next().value!);
      this.units.set(key, x);
    }
    return x;
  }

  /** The right-hand side of those entries; a negative row is the reference's and has none. */
  unit(at: Places): Vector {
    const b = vector(this.system.size, this.frequency !== 0);
    for (const [row, value] of at) if (row >= 0) b.re[row]! += value;
    return b;
  }

  private solution(x: Vector, b: Vector, sources: Sources): Solution {
    const { system } = this;
    const against = this.regular ? { names: [], doubts: [] } : this.contradictions(x, b);
    return new Solution({
      system,
      x,
      sources,
      added: new Map(),
      doubts: [...this.nullVectors, ...against.doubts],
      contradictions: against.names,
      residual: () => worstError(system.entries, x, b),
    });
  }

  /**
   * The equations that cannot all hold, and what they leave in doubt: which of them is given up was chance, so everything
   * that giving up another would move is not determined.
   */
  private contradictions(x: Vector, b: Vector): { names: string[]; doubts: Vector[] } {
    const rows = new Set<number>();
    const doubts: Vector[] = [];
    const errors = backwardErrors(this.system.entries, x, b);
    if (errors.every((error) => error <= missed)) return { names: [], doubts };
    for (const spare of this.lu.spareRows()) {
      const at = [...spare.re.keys()].filter((row) => differs(spare, row, -1));
      if (at.every((row) => errors[row]! <= missed)) continue;
      for (const row of at) {
        rows.add(row);
        doubts.push(this.column([[row, 1]]));
      }
    }
    const named = (places: ReadonlyMap<string, number>) => [...places].filter(([, row]) => rows.has(row));
    return { names: [...named(this.system.branches), ...named(this.system.nodes)].map(([name]) => name), doubts };
  }
}

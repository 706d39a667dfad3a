import type { Sources, System } from './assemble';
import { add, type Complex, multiply, real, scale, subtract, zero } from './complex';
import { differs } from './floating';
import type { Vector } from './matrix';

/** What a solution is made of. */
export interface Parts {
  readonly system: System;
  readonly x: Vector;
  readonly sources: Sources;
  /** Currents in A that changes of the network add to elements (see update.ts). */
  readonly added: ReadonlyMap<string, Complex>;
  /** Vectors any multiple of which could be added to x: what they move is not determined. */
  readonly doubts: readonly Vector[];
  readonly contradictions: readonly string[];
  readonly residual: () => number;
}

/** Voltages and currents of one network at one frequency for one set of sources; at DC imaginary parts are zero. */
export class Solution {
  private readonly parts: Parts;

  constructor(parts: Parts) {
    this.parts = parts;
  }

  /** Hz; 0 for DC. */
  get frequency(): number {
    return this.parts.system.frequency;
  }

  /** Elements and nodes whose equations cannot all hold: unequal ideal sources side by side, a current with no way back. */
  get contradictions(): readonly string[] {
    return this.parts.contradictions;
  }

  /** How well the equations are met: the largest miss as a fraction of its equation's terms; about 1e-16 when all is well. */
  get residual(): number {
    return this.parts.residual();
  }

  /** V against the reference; null where the node floats or does not exist. */
  voltage(node: string): Complex | null {
    return this.at(this.unknown(node), -1);
  }

  /** V of `a` above `b`: known inside a floating part too. Null where it is not determined or a node does not exist. */
  between(a: string, b: string): Complex | null {
    return this.at(this.unknown(a), this.unknown(b));
  }

  /** V of an element's `a` above its `b`; null where undetermined, or for an op-amp. */
  across(name: string): Complex | null {
    const element = this.parts.system.elements.get(name);
    return element && element.kind !== 'op-amp' ? this.between(element.a, element.b) : null;
  }

  /** W an element takes up, averaged, for RMS phasors and for DC: negative for what a source gives. Null where undetermined. */
  power(name: string): number | null {
    const volts = this.across(name);
    const amps = this.current(name);
    return volts && amps && volts.re * amps.re + volts.im * amps.im;
  }

  /** A from `a` through the element to `b` (of an op-amp: into its output). Null where undetermined or there is no such element. */
  current(name: string): Complex | null {
    const { system, sources, added } = this.parts;
    const extra = added.get(name);
    const branch = system.branches.get(name);
    if (branch !== undefined) return this.at(branch, -1);
    const element = system.elements.get(name);
    if (!element) return extra ?? null;
    if (element.kind === 'op-amp') return null;
    if (element.kind === 'current') {
      const given = sources[name] ?? 0;
      return typeof given === 'number' ? real(given) : given;
    }
    if (element.kind === 'vccs') {
      const control = this.between(element.plus, element.minus);
      return control && scale(control, element.siemens);
    }
    const admittance = system.admittances.get(name);
    if (!admittance) return extra ?? zero;
    const across = this.between(element.a, element.b);
    return across && add(multiply(across, admittance), extra ?? zero);
  }

  private unknown(node: string): number | undefined {
    return this.parts.system.nodes.get(node);
  }

  private at(a: number | undefined, b: number | undefined): Complex | null {
    if (a === undefined || b === undefined) return null;
    const { x, doubts } = this.parts;
    if (doubts.some((doubt) => differs(doubt, a, b))) return null;
    const value = subtract(entry(x, a), entry(x, b));
    return Number.isFinite(value.re) && Number.isFinite(value.im) ? value : null;
  }
}

const entry = (x: Vector, k: number): Complex => (k < 0 ? zero : { re: x.re[k]!, im: x.im ? x.im[k]! : 0 });

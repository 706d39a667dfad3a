import { type LinearNetlist, ownSources, rightHand, type Sources, type System } from './assemble';
import { appliedLinear, type Change, changedName } from './changes';
import { add, type Complex, inverse, magnitude, multiply, subtract, zero } from './complex';
import type { Factored, Solved } from './factor';
import type { Floating } from './floating';
import { seriesImpedance } from './impedance';
import { factorise, type Lu } from './lu';
import { accumulate, backwardErrors, largest, type Matrix, type Vector, vector } from './matrix';
import type { Linear } from './netlist';
import { Solution } from './solution';

/**
 * One changed element as a rank-one term u·δ·uᵀ added to the equations. δ is kept as its inverse, in Ω for a part stamped
 * as an admittance and in S for one whose current is an unknown, so that a short or an open is a plain zero.
 */
interface Term {
  readonly name: string;
  /** The entries of u: unknown and ±1. */
  readonly at: readonly (readonly [number, number])[];
  readonly inverse: Complex;
}

/** Where this much of the digits cancel, the update is ill-conditioned and the network is factored anew. */
const cancelled = 1e-6;

/** The base's network with changes, as an update of its factorisation where that is sound, else factored anew. */
export function update(base: Factored, netlist: LinearNetlist, changes: readonly Change[]): Solved {
  const anew = () => base.anew(netlist);
  if (!base.regular) return anew();
  const elements = new Map(netlist.elements.map((element) => [element.name, element]));
  const terms: Term[] = [];
  for (const name of new Set(changes.map(changedName))) {
    const term = termOf(base.system, name, elements.get(name)!);
    if (term === 'anew') return anew();
    if (term) terms.push(term);
  }
  const columns = terms.map((term) => base.column(term.at));
  const small = smallMatrix(base, terms, columns);
  return small ? new Updated(base, netlist, changes, terms, columns, small) : anew();
}

/** What one element's change adds to the equations; null for nothing, 'anew' where it is not of rank one. */
function termOf(system: System, name: string, now: Linear): Term | null | 'anew' {
  const before = system.elements.get(name);
  if (now.kind === 'op-amp' || now.kind === 'vccs' || now.kind === 'current') return 'anew';
  const impedance = seriesImpedance(now, system.frequency);
  const a = system.nodes.get(now.a);
  const b = system.nodes.get(now.b);
  if (a === undefined || b === undefined) return 'anew';
  const across = [[a, 1] as const, [b, -1] as const];
  if (!before) return impedance && { name, at: across, inverse: impedance };
  if (before.kind === 'op-amp' || before.kind === 'vccs' || before.kind === 'current') return 'anew';
  if (before.a !== now.a || before.b !== now.b) return 'anew';
  if (!sameBut(before, now, impedance === null)) return 'anew';
  const row = system.branches.get(name);
  if (row === undefined && (before.kind === 'voltage' || before.kind === 'vcvs')) return 'anew';
  if (row === undefined) {
    // From Y to Y′: δ = Y′ − Y, and an infinite Y′ has 1/δ = 0.
    const old = system.admittances.get(name) ?? zero;
    if (impedance && magnitude(impedance) === 0) return { name, at: across, inverse: zero };
    const step = subtract(impedance ? inverse(impedance) : zero, old);
    return magnitude(step) === 0 ? null : { name, at: across, inverse: inverse(step) };
  }
  // The branch's own equation has −Z on its diagonal: δ = Z − Z′, and an open has 1/δ = 0.
  if (!impedance) return { name, at: [[row, 1]], inverse: zero };
  const step = subtract(seriesImpedance(before, system.frequency)!, impedance);
  return magnitude(step) === 0 ? null : { name, at: [[row, 1]], inverse: inverse(step) };
}

/** True where only the series impedance differs, so that the rest of the element's equation stands. */
function sameBut(before: Linear, now: Linear, opened: boolean): boolean {
  if (before.kind === 'voltage') return opened || now.kind === 'voltage';
  if (before.kind === 'vcvs')
    return (
      opened ||
      (now.kind === 'vcvs' && now.gain === before.gain && now.plus === before.plus && now.minus === before.minus)
    );
  return now.kind !== 'voltage' && now.kind !== 'vcvs';
}

/** δ⁻¹ + uᵀ·A⁻¹·u, factored; null where it is singular or its digits have cancelled. */
function smallMatrix(base: Factored, terms: readonly Term[], columns: readonly Vector[]): Lu | null {
  const size = terms.length;
  const complex = base.frequency !== 0;
  const matrix: Matrix = { size, ...vector(size * size, complex) };
  for (const [i, term] of terms.entries()) {
    for (const [j, column] of columns.entries()) {
      const product = along(term, column);
      const entry = i === j ? add(product, term.inverse) : product;
      if (i === j && magnitude(entry) <= cancelled * (magnitude(product) + magnitude(term.inverse))) return null;
      put(matrix, i * size + j, entry);
    }
  }
  const lu = factorise(matrix);
  return lu.rank === size && lu.smallest > cancelled ? lu : null;
}

function put(target: Matrix | Vector, at: number, value: Complex): void {
  target.re[at] = value.re;
  if (target.im) target.im[at] = value.im;
}

/** uᵀ·x. */
function along(term: Term, x: Vector): Complex {
  let re = 0;
  let im = 0;
  for (const [k, sign] of term.at) {
    if (k < 0) continue;
    re += sign * x.re[k]!;
    if (x.im) im += sign * x.im[k]!;
  }
  return { re, im };
}

/**
 * Woodbury's identity (Hager, SIAM Review 31, 1989, 221; from memory): (A + U·δ·Uᵀ)⁻¹·b = x − A⁻¹·U·λ with
 * (δ⁻¹ + Uᵀ·A⁻¹·U)·λ = Uᵀ·x. λ is the current a change adds to its element.
 */
class Updated implements Solved {
  readonly netlist: LinearNetlist;
  readonly frequency: number;
  readonly floating: readonly Floating[] = [];
  private readonly base: Factored;
  private readonly changes: readonly Change[];
  private readonly terms: readonly Term[];
  private readonly columns: readonly Vector[];
  private readonly small: Lu;

  constructor(
    base: Factored,
    netlist: LinearNetlist,
    changes: readonly Change[],
    terms: readonly Term[],
    columns: readonly Vector[],
    small: Lu,
  ) {
    this.base = base;
    this.netlist = netlist;
    this.frequency = base.frequency;
    this.changes = changes;
    this.terms = terms;
    this.columns = columns;
    this.small = small;
  }

  solve(sources: Sources = ownSources(this.netlist, this.frequency)): Solution {
    return this.corrected(this.base.response(sources), () => rightHand(this.base.system, sources), sources);
  }

  inject(from: string, to: string): Solution {
    const at = this.base.injection(from, to);
    return this.corrected(this.base.column(at), () => this.base.unit(at), {});
  }

  with(changes: readonly Change[]): Solved {
    return update(this.base, appliedLinear(this.netlist, changes), [...this.changes, ...changes]);
  }

  private corrected(x0: Vector, b: () => Vector, sources: Sources): Solution {
    const right = vector(this.terms.length, this.frequency !== 0);
    for (const [k, term] of this.terms.entries()) put(right, k, along(term, x0));
    const solved = this.small.solve(right);
    const lambda = this.terms.map((_, k) => ({ re: solved.re[k]!, im: solved.im ? solved.im[k]! : 0 }));
    const x: Vector = { re: x0.re.slice(), im: x0.im?.slice() ?? null };
    for (const [k, value] of lambda.entries()) accumulate(x, this.columns[k]!, -value.re, -value.im);
    return new Solution({
      system: this.base.system,
      x,
      sources,
      added: new Map(this.terms.map((term, k) => [term.name, lambda[k]!])),
      doubts: [],
      contradictions: [],
      residual: () => this.residual(x, b(), lambda),
    });
  }

  /** The base's equations with λ on the right, and each term's own: λ/δ = uᵀ·x. */
  private residual(x: Vector, b: Vector, lambda: readonly Complex[]): number {
    const own = this.terms.map((term, k) => {
      for (const [row, sign] of term.at) {
        if (row < 0) continue;
        b.re[row]! -= sign * lambda[k]!.re;
        if (b.im) b.im[row]! -= sign * lambda[k]!.im;
      }
      const wanted = multiply(lambda[k]!, term.inverse);
      const got = along(term, x);
      const ends = term.at.map(([row]) => (row < 0 ? 0 : Math.hypot(x.re[row]!, x.im ? x.im[row]! : 0)));
      const size = magnitude(wanted) + ends.reduce((sum, end) => sum + end, 0);
      return size === 0 ? 0 : magnitude(subtract(wanted, got)) / size;
    });
    return Math.max(largest(backwardErrors(this.base.system.entries, x, b)), ...own);
  }
}

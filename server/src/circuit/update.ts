import { type LinearNetlist, ownSources, rightHand, type Sources } from './assemble';
import { appliedLinear, type Change, changedName } from './changes';
import { add, type Complex, magnitude, multiply, subtract } from './complex';
import type { Factored, Solved } from './factor';
import { factorise, type Lu } from './lu';
import { accumulate, largest, type Matrix, type Vector, vector, worstError } from './matrix';
import { Solution } from './solution';
import { along, type Term, termOf } from './terms';

/** Where this much of the digits cancel, the update is ill-conditioned and the network is factored anew. */
const cancelled = 1e-6;
/** So is it where the equations of the changed network are missed by more than this. */
const inexact = 1e-11;

/** The base's network with changes, as an update of its factorisation where that is sound, else factored anew. */
export function update(base: Factored, netlist: LinearNetlist, changes: readonly Change[]): Solved {
  const anew = () => base.anew(netlist);
  if (!base.regular) return anew();
  const terms: Term[] = [];
  for (const name of new Set(changes.map(changedName))) {
    const term = termOf(base.system, name, netlist.elements.find((element) => element.name === name)!);
    if (term === 'anew') return anew();
    if (term) terms.push(term);
  }
  const columns = terms.map((term) => base.column(term.at));
  const small = smallMatrix(base, terms, columns);
  return small ? updated(base, netlist, changes, terms, columns, small) : anew();
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

/**
 * Woodbury's identity (Hager, SIAM Review 31, 1989, 221; from memory): (A + U·δ·Uᵀ)⁻¹·b = x − A⁻¹·U·λ with
 * (δ⁻¹ + Uᵀ·A⁻¹·U)·λ = Uᵀ·x. λ is the current a change adds to its element.
 */
function updated(
  base: Factored,
  netlist: LinearNetlist,
  changes: readonly Change[],
  terms: readonly Term[],
  columns: readonly Vector[],
  small: Lu,
): Solved {
  let fresh: Solved | undefined;
  const anew = () => {
    fresh ??= base.anew(netlist);
    return fresh;
  };

  /** Corrects the base's answer x0 to b; null where that is inexact. */
  function corrected(x0: Vector, b: Vector, sources: Sources): Solution | null {
    const right = vector(terms.length, base.frequency !== 0);
    for (const [k, term] of terms.entries()) put(right, k, along(term, x0));
    const solved = small.solve(right);
    const lambda = terms.map((_, k) => ({ re: solved.re[k]!, im: solved.im ? solved.im[k]! : 0 }));
    const x: Vector = { re: x0.re.slice(), im: x0.im?.slice() ?? null };
    for (const [k, value] of lambda.entries()) accumulate(x, columns[k]!, -value.re, -value.im);
    const residual = missed(x, b, lambda);
    if (!(residual < inexact)) return null;
    return new Solution({
      system: base.system,
      x,
      sources,
      added: new Map(terms.map((term, k) => [term.name, lambda[k]!])),
      doubts: [],
      contradictions: [],
      residual: () => residual,
    });
  }

  /** The worst miss among the base's equations, with λ on their right, and each term's own: λ/δ = uᵀ·x. */
  function missed(x: Vector, b: Vector, lambda: readonly Complex[]): number {
    const top = largest(x);
    let worst = 0;
    for (const [k, term] of terms.entries()) {
      for (const [row, sign] of term.at) {
        if (row < 0) continue;
        b.re[row]! -= sign * lambda[k]!.re;
        if (b.im) b.im[row]! -= sign * lambda[k]!.im;
      }
      const wanted = multiply(lambda[k]!, term.inverse);
      const miss = magnitude(subtract(wanted, along(term, x)));
      if (miss > 0) worst = Math.max(worst, miss / (magnitude(wanted) + top));
    }
    return Math.max(worst, worstError(base.system.entries, x, b));
  }

  return {
    netlist,
    frequency: base.frequency,
    floating: [],
    solve: (sources = ownSources(netlist, base.frequency)) =>
      corrected(base.response(sources), rightHand(base.system, sources), sources) ?? anew().solve(sources),
    inject(from, to) {
      const at = base.injection(from, to);
      return corrected(base.column(at), base.unit(at), {}) ?? anew().inject(from, to);
    },
    with: (more) => update(base, appliedLinear(netlist, more), [...changes, ...more]),
  };
}

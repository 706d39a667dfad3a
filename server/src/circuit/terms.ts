import type { System } from './assemble';
import { type Complex, inverse, magnitude, subtract, zero } from './complex';
import { seriesImpedance } from './impedance';
import type { Vector } from './matrix';
import type { Linear } from './netlist';

/**
 * One changed element as a rank-one term u·δ·uᵀ added to the equations. δ is kept as its inverse, in Ω for a part stamped
 * as an admittance and in S for one whose current is an unknown, so that a short or an open is a plain zero.
 */
export interface Term {
  readonly name: string;
  /** The entries of u: unknown and ±1. */
  readonly at: readonly (readonly [number, number])[];
  readonly inverse: Complex;
}

/** What one element's change adds to the equations; null for nothing, 'anew' where it is not of rank one. */
export function termOf(system: System, name: string, now: Linear): Term | null | 'anew' {
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

/** uᵀ·x. */
export function along(term: Term, x: Vector): Complex {
  let re = 0;
  let im = 0;
  for (const [k, sign] of term.at) {
    if (k < 0) continue;
    re += sign * x.re[k]!;
    if (x.im) im += sign * x.im[k]!;
  }
  return { re, im };
}

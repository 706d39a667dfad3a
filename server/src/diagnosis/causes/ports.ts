import type { Complex } from '../../circuit/complex';
import type { Solved } from '../../circuit/factor';
import { seriesImpedance } from '../../circuit/impedance';
import { type Element, type Linear, nodesOf } from '../../circuit/netlist';

/** Ω of a joint, a wire, the stiffest source: small against everything on a board, large enough for the arithmetic of differences. */
export const wire = 1e-3;

/** Ω of what shorts a place: so far below any source that even the stiffest gives nothing across it. */
export const solder = 1e-6;

/** S of an element at a frequency; 0 where nothing flows or the value is unknown, never above that of a wire. */
export function admittance(element: Element, frequency: number): Complex {
  const z = element.kind === 'diode' ? null : seriesImpedance(element as Linear, frequency);
  if (z === null) return { re: 0, im: 0 };
  const square = z.re * z.re + z.im * z.im;
  if (square < wire * wire) return { re: 1 / wire, im: 0 };
  return { re: z.re / square, im: -z.im / square };
}

/** Complex numbers side by side: real parts at even places, imaginary ones at odd. */
export type Phasors = Float64Array;

/**
 * One network at one frequency, seen from pairs of its nodes. A change of the admittance between two nodes is then a matter of
 * those few numbers (Woodbury's identity on the impedance matrix; Hager, SIAM Review 31, 1989, 221; from memory), so that
 * hundreds of faults and the tolerances around each cost little. Works for any linear network, reciprocal or not.
 */
export class Ports {
  private readonly index = new Map<string, number>();
  private readonly columns: (Phasors | undefined)[] = [];
  private readonly ends: [number, number][] = [];
  private readonly ids = new Map<string, number>();
  private readonly responses = new Map<string, Phasors>();

  constructor(readonly solved: Solved) {
    const { reference, elements } = solved.netlist;
    this.index.set(reference, -1);
    for (const element of elements)
      for (const node of nodesOf(element)) if (!this.index.has(node)) this.index.set(node, this.index.size - 1);
  }

  /** Nodes besides the reference. */
  get nodes(): number {
    return this.index.size - 1;
  }

  /** The port between two nodes; undefined where the network lacks one of them. */
  port(a: string, b: string): number | undefined {
    const from = this.index.get(a);
    const to = this.index.get(b);
    if (from === undefined || to === undefined) return undefined;
    const key = `${from} ${to}`;
    let id = this.ids.get(key);
    if (id === undefined) {
      id = this.ends.length;
      this.ends.push([from, to]);
      this.columns.push(undefined);
      this.ids.set(key, id);
    }
    return id;
  }

  /** Volts of every node per volt of a source. */
  response(source: string): Phasors {
    let found = this.responses.get(source);
    if (!found) {
      found = this.volts(this.solved.solve({ [source]: 1 }));
      this.responses.set(source, found);
    }
    return found;
  }

  /** Volts across a port, out of the volts of the nodes. */
  across(volts: Phasors, port: number): Complex {
    const [a, b] = this.ends[port]!;
    return {
      re: (a < 0 ? 0 : volts[2 * a]!) - (b < 0 ? 0 : volts[2 * b]!),
      im: (a < 0 ? 0 : volts[2 * a + 1]!) - (b < 0 ? 0 : volts[2 * b + 1]!),
    };
  }

  /** Volts across port `of` per ampere driven through port `by`. */
  transfer(of: number, by: number): Complex {
    return this.across(this.column(by), of);
  }

  /** Volts of every node per ampere driven into a port's first node and out of its second. */
  column(port: number): Phasors {
    let column = this.columns[port];
    if (!column) {
      const [a, b] = this.ends[port]!;
      const names = this.names();
      column =
        a === b
          ? new Float64Array(2 * (this.index.size - 1))
          : this.volts(this.solved.inject(names[b + 1]!, names[a + 1]!));
      this.columns[port] = column;
    }
    return column;
  }

  private listed: string[] | undefined;
  private names(): string[] {
    this.listed ??= [...this.index.keys()];
    return this.listed;
  }

  private volts(solution: { voltage(node: string): Complex | null }): Phasors {
    const volts = new Float64Array(2 * (this.index.size - 1));
    for (const [name, k] of this.index) {
      if (k < 0) continue;
      const value = solution.voltage(name);
      if (value) {
        volts[2 * k] = value.re;
        volts[2 * k + 1] = value.im;
      }
    }
    return volts;
  }
}

/** An admittance added between the nodes of a port, S. */
export interface Added {
  readonly port: number;
  readonly siemens: Complex;
}

/** A network with admittances added, as seen from its ports. */
export class View {
  /** (1 + δ·Z)⁻¹·δ among the changed ports. */
  private readonly core: Complex[][];

  constructor(
    readonly ports: Ports,
    private readonly added: readonly Added[],
  ) {
    const size = added.length;
    const system = added.map((row, i) =>
      Array.from({ length: 2 * size }, (_, j): Complex => {
        if (j >= size) return j - size === i ? row.siemens : { re: 0, im: 0 };
        const z = ports.transfer(row.port, added[j]!.port);
        const product = times(row.siemens, z);
        return i === j ? { re: 1 + product.re, im: product.im } : product;
      }),
    );
    this.core = solveInPlace(system, size);
  }

  private readonly rows = new Map<number, Complex[]>();

  /** Row of Z between a port and the changed ones, times the core: what the changes take from anything seen at the port. */
  private gains(port: number): Complex[] {
    const known = this.rows.get(port);
    if (known) return known;
    const size = this.added.length;
    const row: Complex[] = [];
    this.rows.set(port, row);
    for (let j = 0; j < size; j++) {
      let re = 0;
      let im = 0;
      for (let k = 0; k < size; k++) {
        const z = this.ports.transfer(port, this.added[k]!.port);
        const c = this.core[k]![j]!;
        re += z.re * c.re - z.im * c.im;
        im += z.re * c.im + z.im * c.re;
      }
      row.push({ re, im });
    }
    return row;
  }

  /** Volts across a port under the changes, from the volts of the nodes without them. */
  across(volts: Phasors, port: number): Complex {
    let { re, im } = this.ports.across(volts, port);
    const gains = this.gains(port);
    for (let k = 0; k < gains.length; k++) {
      const at = this.ports.across(volts, this.added[k]!.port);
      const g = gains[k]!;
      re -= g.re * at.re - g.im * at.im;
      im -= g.re * at.im + g.im * at.re;
    }
    return { re, im };
  }
}

export const times = (a: Complex, b: Complex): Complex => ({
  re: a.re * b.re - a.im * b.im,
  im: a.re * b.im + a.im * b.re,
});

/** Gauss–Jordan on [A | B] with row pivoting; returns A⁻¹·B. A singular pivot is taken as tiny: the change isolates a node. */
function solveInPlace(rows: Complex[][], size: number): Complex[][] {
  for (let k = 0; k < size; k++) {
    let best = k;
    for (let i = k + 1; i < size; i++) if (norm(rows[i]![k]!) > norm(rows[best]![k]!)) best = i;
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    const pivot = rows[k]![k]!;
    const square = Math.max(norm(pivot), 1e-60);
    const inverse = { re: pivot.re / square, im: -pivot.im / square };
    for (let j = k; j < 2 * size; j++) rows[k]![j] = times(rows[k]![j]!, inverse);
    for (let i = 0; i < size; i++) {
      if (i === k) continue;
      const factor = rows[i]![k]!;
      if (factor.re === 0 && factor.im === 0) continue;
      for (let j = k; j < 2 * size; j++) {
        const product = times(factor, rows[k]![j]!);
        rows[i]![j] = { re: rows[i]![j]!.re - product.re, im: rows[i]![j]!.im - product.im };
      }
    }
  }
  return rows.map((row) => row.slice(size));
}

const norm = (a: Complex): number => a.re * a.re + a.im * a.im;

import type { Broken } from './faults';
import { drive, nominal, type Seen, type Specimen } from './simulate';
import { captures, type World } from './world';

/**
 * The generator's simulation, made quick for an observer who looks at thousands of specimens: only what hangs together with the
 * outputs and the jack, by nodal analysis on flat arrays. `quick.test.ts` holds it against the plain simulation.
 */

interface Branch {
  readonly ref: string;
  readonly kind: 'R' | 'C' | 'FB';
  readonly value: number;
  readonly a: number;
  readonly b: number;
}

const frequencies = [...new Set(captures.map(({ hertz }) => hertz))];
const probes = ['tip', 'ring', 'sleeve'] as const;
/** Phasors of all captures side by side, real and imaginary part. */
export const figures = 2 * captures.length * probes.length;
/** S of a joint, and from every node to ground, as in the plain simulation. */
const joined = 1e3;
const stray = 1e-9;

export class Quick {
  /** The parts that can move a probed figure, and a world of them alone. */
  readonly refs: ReadonlySet<string>;
  readonly near: World;
  private readonly branches: readonly Branch[];
  private readonly nodes = new Map<string, number>();
  private readonly size: number;
  private readonly re: Float64Array;
  private readonly im: Float64Array;
  /** Two right-hand sides, left and right, and then what they give. */
  private readonly x: Float64Array;

  constructor(readonly world: World) {
    const reached = new Set(['OL', 'OR', 'JL', 'JR']);
    const left = new Set(world.pieces);
    for (let grew = true; grew; ) {
      grew = false;
      for (const piece of left)
        if (piece.nets.some((net) => reached.has(net))) {
          for (const net of piece.nets) if (net !== 'GND') reached.add(net);
          left.delete(piece);
          grew = true;
        }
    }
    for (const net of [...reached, ...probes]) this.nodes.set(net, this.nodes.size);
    this.nodes.set('GND', -1);
    this.branches = world.pieces
      .filter((piece) => !left.has(piece))
      .map(({ ref, kind, value, nets }) => ({ ref, kind, value, a: this.node(nets[0]), b: this.node(nets[1]) }));
    this.refs = new Set(this.branches.map(({ ref }) => ref));
    this.near = { ...world, pieces: world.pieces.filter((piece) => !left.has(piece)) };
    this.size = this.nodes.size - 1;
    this.re = new Float64Array(this.size * this.size);
    this.im = new Float64Array(this.size * this.size);
    this.x = new Float64Array(4 * this.size);
  }

  private node(net: string): number {
    const found = this.nodes.get(net);
    if (found === undefined) throw new Error(`${net} is not on the way of the signal`);
    return found;
  }

  /** What the left and the right source show by themselves in every capture, the chip and the recorder as stated. */
  separately(parts: Specimen['parts'], broken: Broken): readonly [Float64Array, Float64Array] {
    const sides = [new Float64Array(figures), new Float64Array(figures)] as const;
    const drives = captures.map((capture) => drive(this.world, nominal, broken, capture));
    for (const hertz of frequencies) {
      this.solve(hertz, parts, broken);
      for (const [c, capture] of captures.entries()) {
        if (capture.hertz !== hertz) continue;
        for (const [k, probe] of probes.entries())
          for (const [s, volts] of drives[c]!.entries()) {
            const from = 4 * this.nodes.get(probe)! + 2 * s;
            const at = 2 * (3 * c + k);
            sides[s]![at] = volts * this.x[from]!;
            sides[s]![at + 1] = volts * this.x[from + 1]!;
          }
      }
    }
    return sides;
  }

  /** All captures of one specimen, without noise. */
  simulate(specimen: Specimen, broken: Broken): Float64Array {
    const [left, right] = this.separately(specimen.parts, broken);
    return left.map((value, k) => specimen.scale * (specimen.out[0] * value + specimen.out[1] * right[k]!));
  }

  private put(a: number, b: number, re: number, im: number): void {
    const n = this.size;
    if (a >= 0) {
      this.re[a * n + a]! += re;
      this.im[a * n + a]! += im;
    }
    if (b >= 0) {
      this.re[b * n + b]! += re;
      this.im[b * n + b]! += im;
    }
    if (a < 0 || b < 0) return;
    this.re[a * n + b]! -= re;
    this.im[a * n + b]! -= im;
    this.re[b * n + a]! -= re;
    this.im[b * n + a]! -= im;
  }

  private solve(hertz: number, parts: Specimen['parts'], { pieces, joints, between }: Broken): void {
    const { re, im, x, size, world } = this;
    re.fill(0);
    im.fill(0);
    x.fill(0);
    const omega = 2 * Math.PI * hertz;
    for (const { ref, kind, value, a, b } of this.branches) {
      const wrong = pieces?.[ref];
      if (wrong === 'open') continue;
      if (wrong === 'short' || kind === 'FB') {
        this.put(a, b, joined, 0);
        continue;
      }
      const own = (wrong === undefined ? value : wrong.value) * (parts[ref] ?? 1);
      if (kind === 'R') this.put(a, b, 1 / own, 0);
      else {
        const esr = wrong?.esr ?? 0;
        const reactance = 1 / (omega * own);
        const square = esr * esr + reactance * reactance;
        this.put(a, b, esr / square, reactance / square);
      }
    }
    const node = (net: string) => this.nodes.get(net)!;
    for (const [contact, net] of [
      ['tip', 'JL'],
      ['ring', 'JR'],
      ['sleeve', 'GND'],
    ] as const) {
      this.put(node(contact), node(net), 1 / (joints?.[net] ?? 1 / joined), 0);
      if (contact !== 'sleeve') this.put(node(contact), node('sleeve'), 1 / world.load, 0);
    }
    if (between) this.put(this.node(between.nets[0]), this.node(between.nets[1]), 1 / between.ohms, 0);
    for (let k = 0; k < size; k++) re[k * size + k]! += stray;
    for (const [s, net] of ['OL', 'OR'].entries()) {
      this.put(node(net), -1, 1 / world.outOhms, 0);
      x[4 * node(net) + 2 * s] = 1 / world.outOhms;
    }
    this.eliminate();
  }

  /** Gaussian elimination; no pivoting, since a nodal matrix of R and C is its own best pivot order (diagonally dominant). */
  private eliminate(): void {
    const { re, im, x, size: n } = this;
    for (let k = 0; k < n; k++) {
      const p = re[k * n + k]!;
      const q = im[k * n + k]!;
      const square = p * p + q * q;
      for (let i = k + 1; i < n; i++) {
        const a = re[i * n + k]!;
        const b = im[i * n + k]!;
        if (a === 0 && b === 0) continue;
        const f = (a * p + b * q) / square;
        const g = (b * p - a * q) / square;
        for (let j = k + 1; j < n; j++) {
          const u = re[k * n + j]!;
          const v = im[k * n + j]!;
          re[i * n + j]! -= f * u - g * v;
          im[i * n + j]! -= f * v + g * u;
        }
        for (let s = 0; s < 4; s += 2) {
          const u = x[4 * k + s]!;
          const v = x[4 * k + s + 1]!;
          x[4 * i + s]! -= f * u - g * v;
          x[4 * i + s + 1]! -= f * v + g * u;
        }
      }
    }
    for (let k = n - 1; k >= 0; k--) {
      const p = re[k * n + k]!;
      const q = im[k * n + k]!;
      const square = p * p + q * q;
      for (let s = 0; s < 4; s += 2) {
        let u = x[4 * k + s]!;
        let v = x[4 * k + s + 1]!;
        for (let j = k + 1; j < n; j++) {
          const f = re[k * n + j]!;
          const g = im[k * n + j]!;
          u -= f * x[4 * j + s]! - g * x[4 * j + s + 1]!;
          v -= f * x[4 * j + s + 1]! + g * x[4 * j + s]!;
        }
        x[4 * k + s] = (u * p + v * q) / square;
        x[4 * k + s + 1] = (v * p - u * q) / square;
      }
    }
  }
}

/** Phasors side by side. */
export const flat = (seen: Seen): Float64Array =>
  Float64Array.from(seen.flatMap((channels) => channels.flatMap(({ re, im }) => [re, im])));

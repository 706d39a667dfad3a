import type { Complex } from '../../circuit/complex';
import type { Programme } from '../../circuit/from-board/played';
import type { Context } from './context';
import { type Phasors, times, type View } from './ports';
import { clockRuns, current, passive, type Shown } from './predict-meter';
import { floors } from './priors';
import { nodesAtRest, restAcross, settled, sourcesAtRest } from './rest';
import { type Driven, drivenBy, summed } from './sources';
import type { Prediction, Staged, StagedMeter } from './staged';
import type { Take } from './takes';
import type { Effect } from './types';

/** Adds what one take after the other shows. */
export class Predicting implements Prediction {
  readonly values: Float64Array;
  readonly columns = new Map<string, Float64Array>();
  readonly correlations: (number | undefined)[] = [];
  readonly ranges: ([number, number] | undefined)[] = [];
  private readonly views = new Map<Context, { readonly view: View; readonly changed: ReadonlySet<string> }>();

  constructor(
    private readonly slots: number,
    private readonly effect: Effect,
    private readonly wantColumns: boolean,
  ) {
    this.values = new Float64Array(2 * slots);
  }

  private seen(context: Context) {
    let found = this.views.get(context);
    if (!found) {
      found = { view: context.view(this.effect), changed: context.changedBy(this.effect) };
      this.views.set(context, found);
    }
    return found;
  }

  private column(name: string): Float64Array {
    let column = this.columns.get(name);
    if (!column) {
      column = new Float64Array(2 * this.slots);
      this.columns.set(name, column);
    }
    return column;
  }

  take({ take, contexts, ports, first }: Staged): void {
    const count = take.channels.length;
    const power = take.kind === 'power';
    const programmes = take.side === 'programme' ? [] : take.programmes;
    const sums = new Float64Array(count);
    const cross = { re: 0, im: 0 };
    for (const [b, context] of contexts.entries()) {
      const { hertz, weight, octave } = take.bands[b]!;
      const { view, changed } = this.seen(context);
      for (const programme of programmes) {
        const driven = this.driven(take, context, programme, hertz, octave);
        const nodes = summed(context, driven);
        const at = ports[b]!.map((port) => view.across(nodes, port));
        for (const [k, value] of at.entries()) {
          if (power) sums[k]! += weight * (value.re ** 2 + value.im ** 2);
          else this.put(this.values, first + k, value);
        }
        if (power && count > 1) {
          const [x, y] = [at[0]!, at[1]!];
          cross.re += weight * (x.re * y.re + x.im * y.im);
        }
        if (!this.wantColumns) continue;
        const move = (name: string, k: number, step: Complex) => {
          if (!power) this.put(this.column(name), first + k, step);
          // d√Σ|p|² = Σ Re(p*·dp)/√Σ|p|²; the root is divided by below.
          else this.column(name)[2 * (first + k)]! += weight * (at[k]!.re * step.re + at[k]!.im * step.im);
        };
        this.moves(context, view, changed, driven, nodes, ports[b]!, move);
        for (const { side, spread } of take.into.length > 0 ? [] : (this.effect.quieter ?? [])) {
          const alone = this.driven(take, context, { left: 0, right: 0, [side]: programme[side] }, hertz);
          const volts = summed(context, alone);
          for (const [k, port] of ports[b]!.entries()) {
            const part = view.across(volts, port);
            move(`side ${side}`, k, { re: part.re * spread, im: part.im * spread });
          }
        }
      }
    }
    if (power) {
      for (let k = 0; k < count; k++) {
        const level = Math.sqrt(sums[k]!);
        this.values[2 * (first + k)] = level;
        for (const column of this.columns.values()) if (level > 0) column[2 * (first + k)]! /= level;
      }
    }
    const both = Math.sqrt((sums[0] ?? 0) * (sums[1] ?? 0));
    this.correlations.push(power && count > 1 && both > 0 ? cross.re / both : undefined);
    this.ranges.push(take.side === 'programme' && count > 1 ? this.range(take, contexts, ports) : undefined);
    this.misprobe(take, first);
  }

  /** Correlations of the first two channels over all that stereo programme may be, its sides equally loud. */
  private range(take: Take, contexts: Staged['contexts'], ports: Staged['ports']): [number, number] | undefined {
    // Of left alone, right alone, and left with right: power of each channel, and what they have in common.
    const own = [0, 0, 0];
    const other = [0, 0, 0];
    const common = [0, 0, 0];
    for (const [b, context] of contexts.entries()) {
      const { hertz, weight } = take.bands[b]!;
      const { view } = this.seen(context);
      const [l, r] = [
        { left: 1, right: 0 },
        { left: 0, right: 1 },
      ].map((programme) => {
        const nodes = summed(context, this.driven(take, context, programme, hertz));
        return [view.across(nodes, ports[b]![0]!), view.across(nodes, ports[b]![1]!)] as const;
      });
      const put = (into: number[], x: readonly [Complex, Complex], y: readonly [Complex, Complex]) => {
        into[0]! += weight * dot(x[0], x[1]);
        into[1]! += weight * dot(y[0], y[1]);
        into[2]! += weight * (dot(x[0], y[1]) + dot(y[0], x[1]));
      };
      put(own, [l![0], l![0]], [r![0], r![0]]);
      put(other, [l![1], l![1]], [r![1], r![1]]);
      put(common, l!, r!);
    }
    const at = ([a, b, c]: readonly number[], rho: number) => a! + b! + rho * c!;
    const found = programmeCorrelations.flatMap((rho) => {
      const power = at(own, rho) * at(other, rho);
      return at(own, rho) > 1e-12 && at(other, rho) > 1e-12 ? [at(common, rho) / Math.sqrt(power)] : [];
    });
    return found.length === 0 ? undefined : [Math.min(...found), Math.max(...found)];
  }

  private driven(
    take: Take,
    context: Context,
    programme: Programme,
    hertz: number,
    octave?: readonly [number, number],
  ): Driven[] {
    if (take.into.length === 0)
      return drivenBy(
        context.bench.board.outputs,
        programme,
        take.bands.length > 1 ? null : hertz,
        this.effect,
        octave,
      );
    return take.into.map(({ side }) => ({
      name: `generator ${side ?? ''}`,
      chip: undefined,
      volts: { re: side === 'right' ? programme.right : programme.left || programme.right, im: 0 },
    }));
  }

  /** What every shared unknown moves at the ports: the chip's level, each output's own, every part's tolerance. */
  private moves(
    context: Context,
    view: View,
    changed: ReadonlySet<string>,
    driven: readonly Driven[],
    nodes: Phasors,
    ports: readonly number[],
    put: (name: string, channel: number, step: Complex) => void,
  ): void {
    for (const { name, chip, volts } of driven) {
      if (chip === undefined) continue;
      const response = context.ports.response(name);
      for (const [k, port] of ports.entries()) {
        const part = times(view.across(response, port), volts);
        put(`chip ${chip}`, k, { re: part.re * floors.chip, im: part.im * floors.chip });
        put(`output ${name}`, k, { re: part.re * floors.output, im: part.im * floors.output });
      }
    }
    const within = context.spreadIn(this.effect);
    for (const { element, port: own, step } of within.length > 0
      ? [...context.tolerant, ...within]
      : context.tolerant) {
      if (changed.has(element)) continue;
      const across = view.across(nodes, own);
      const current = times(across, step);
      if (current.re === 0 && current.im === 0) continue;
      const column = context.ports.column(own);
      for (const [k, port] of ports.entries()) {
        const z = view.across(column, port);
        put(`part ${element}`, k, {
          re: -(z.re * current.re - z.im * current.im),
          im: -(z.re * current.im + z.im * current.re),
        });
      }
    }
  }

  meter(staged: StagedMeter): void {
    const { meter, context, slot } = staged;
    if (meter.kind === 'dc') {
      this.volts(staged);
      return;
    }
    const { view, changed } = this.seen(context);
    const shown: Shown =
      meter.kind === 'clock'
        ? clockRuns(staged, this.effect)
        : meter.kind === 'amps'
          ? current(staged, this.effect, (from, to) => this.rest(context, from, to))
          : passive(staged, view, this.effect);
    this.values[2 * slot] = shown.value;
    if (!this.wantColumns || !shown.move) return;
    for (const { element, port: own, step } of context.tolerant) {
      if (changed.has(element)) continue;
      const move = shown.move(own, step);
      if (move !== 0) this.column(`part ${element}`)[2 * slot]! += move;
    }
  }

  /** DC between two points or nodes, V: under the effect, and as designed. */
  private rest(context: Context, from: string, to: string): { now: number; designed: number } {
    const port = context.ports.port(context.bench.nodeOf(from) ?? from, context.bench.nodeOf(to) ?? to);
    if (port === undefined) return { now: 0, designed: 0 };
    const at = (effect: Effect) =>
      restAcross(context, context.view(effect), effect, nodesAtRest(context, effect), port);
    return { now: at(this.atRest(context)), designed: at({}) };
  }

  private readonly resting = new Map<Context, Effect>();

  /** The effect at DC, with what it makes of the diodes. */
  private atRest(context: Context): Effect {
    let found = this.resting.get(context);
    if (!found) {
      found = settled(context, this.effect);
      this.resting.set(context, found);
    }
    return found;
  }

  private volts({ context, port, slot }: StagedMeter): void {
    const effect = this.atRest(context);
    const { view, changed } =
      effect === this.effect ? this.seen(context) : { view: context.view(effect), changed: context.changedBy(effect) };
    const rails = sourcesAtRest(context, effect);
    const nodes = summed(context, rails);
    const value = restAcross(context, view, effect, nodes, port);
    // More than any supply gives: an amplifier without its feedback, at one rail or the other.
    const most = 1.2 * Math.max(1, ...context.rails.map(({ volts }) => Math.abs(volts)));
    const beyond = Math.abs(value) > 2 * most;
    this.values[2 * slot] = beyond ? Math.sign(value) * most : value;
    if (!this.wantColumns) return;
    if (beyond) this.column(`where ${context.frequency} ${port} stands`)[2 * slot]! += most;
    for (const { name, share, sd } of rails) {
      const part = view.across(context.ports.response(name), port).re * sd * share;
      if (part !== 0) this.column(`rail ${name}`)[2 * slot]! += part;
    }
    this.moves(context, view, changed, [], nodes, [port], (name, _, step) => {
      this.column(name)[2 * slot]! += step.re;
    });
  }

  /** What was done wrong with the probes of a capture. */
  private misprobe(take: Take, first: number): void {
    for (const wrong of this.effect.probing ?? []) {
      if (wrong.capture !== take.capture) continue;
      const all = [this.values, ...this.columns.values()];
      if (wrong.exchanged && take.channels.length > 1)
        for (const values of all)
          for (const part of [0, 1]) {
            const a = 2 * first + part;
            [values[a], values[a + 2]] = [values[a + 2]!, values[a]!];
          }
      if (wrong.factor !== undefined)
        for (let k = 0; k < take.channels.length; k++) {
          if (wrong.channel !== undefined && wrong.channel !== k) continue;
          for (const values of all) {
            values[2 * (first + k)]! *= wrong.factor;
            values[2 * (first + k) + 1]! *= wrong.factor;
          }
          if (wrong.spread === undefined || !this.wantColumns) continue;
          const column = this.column(wrong.shared ?? `scale of ${take.capture} ${wrong.channel ?? ''}`);
          for (const at of [2 * (first + k), 2 * (first + k) + 1]) column[at]! += this.values[at]! * wrong.spread;
        }
    }
  }

  private put(into: Float64Array, slot: number, value: Complex): void {
    into[2 * slot]! += value.re;
    into[2 * slot + 1]! += value.im;
  }
}

const dot = (a: Complex, b: Complex): number => a.re * b.re + a.im * b.im;

/** What the sides of ordinary programme have in common, from wide to mono. */
const programmeCorrelations = [-0.2, 0.1, 0.4, 0.7, 0.9, 1];

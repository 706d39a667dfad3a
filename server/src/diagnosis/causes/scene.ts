import type { Board } from '../../board/board';
import type { Complex } from '../../circuit/complex';
import type { Programme } from '../../circuit/from-board/played';
import type { Element } from '../../circuit/netlist';
import { type Bench, benchOf } from './bench';
import { Context } from './context';
import { type Phasors, times, type View, wire } from './ports';
import { floors, overRange } from './priors';
import { type Driven, drivenBy } from './sources';
import type { Gain, Measured, Metered, Take } from './takes';
import type { Effect } from './types';

/** A take the network can be asked about: each channel's port in each band's context. */
export interface Staged {
  readonly take: Take;
  readonly gain: Gain;
  readonly contexts: readonly Context[];
  /** By band, then channel. */
  readonly ports: readonly (readonly number[])[];
  /** Where its channels stand in the prediction. */
  readonly first: number;
}

export interface StagedMeter {
  readonly meter: Metered;
  readonly context: Context;
  readonly port: number;
  readonly atChip: boolean;
  readonly slot: number;
}

/**
 * What a hypothesis predicts: a phasor (tone), a peak level, V or Ω for each slot, real and imaginary part side by side; what
 * each slot moves by when a shared unknown is one standard deviation off; the correlation of each take.
 */
export interface Prediction {
  readonly values: Float64Array;
  readonly columns: ReadonlyMap<string, Float64Array>;
  readonly correlations: readonly (number | undefined)[];
}

/** Everything measured on a board, staged: asks the network what a hypothesis would have shown. */
export class Scene {
  readonly takes: readonly Staged[];
  readonly meters: readonly StagedMeter[];
  readonly slots: number;
  /** How many of them are channels of takes: they come first, meters after. */
  readonly signals: number;
  /** Labels of what the network cannot be asked about. */
  readonly lost: readonly string[];
  private readonly benches = new Map<string, Bench | undefined>();
  private readonly contexts = new Map<string, Context>();
  private readonly guessed: ReadonlySet<string>;

  /** @param filled values taken for elements whose own nobody has stated */
  constructor(
    readonly board: Board,
    readonly measured: Measured,
    private readonly filled: ReadonlyMap<string, number> = new Map(),
  ) {
    const lost: string[] = [];
    let slots = 0;
    this.guessed = new Set(filled.keys());
    this.takes = measured.takes.flatMap((take) => {
      const staged = this.stage(take, slots);
      if (!staged) {
        lost.push(take.label);
        return [];
      }
      slots += staged.take.channels.length;
      return [staged];
    });
    this.signals = slots;
    this.meters = measured.metered.flatMap((meter) => {
      const staged = this.stageMeter(meter, slots);
      if (!staged) {
        lost.push(meter.label);
        return [];
      }
      slots++;
      return [staged];
    });
    this.slots = slots;
    this.lost = lost;
  }

  bench(state: string): Bench | undefined {
    if (!this.benches.has(state)) {
      const bench = benchOf(this.board.at(state));
      this.benches.set(state, bench && this.filledIn(bench));
    }
    return this.benches.get(state);
  }

  /** The state whose copper hypotheses are made about: the last in which anything was measured, else the board's last. */
  get state(): string {
    const states = this.board.states;
    const seen = new Set(
      [...this.takes.map(({ take }) => take.state), ...this.meters.map(({ meter }) => meter.state)].map((name) =>
        states.includes(name) ? name : this.board.lastState,
      ),
    );
    return [...states].reverse().find((name) => seen.has(name)) ?? this.board.lastState;
  }

  private filledIn(bench: Bench): Bench {
    if (this.filled.size === 0) return bench;
    const elements = bench.elements.map((element): Element => {
      const value = this.filled.get(element.name);
      if (value === undefined) return element;
      if (element.kind === 'resistor' || element.kind === 'load') return { ...element, ohms: value };
      if (element.kind === 'capacitor') return { ...element, farads: value };
      return element.kind === 'inductor' ? { ...element, henries: value } : element;
    });
    return { ...bench, elements };
  }

  private context(key: string, make: () => Context): Context {
    let found = this.contexts.get(key);
    if (!found) {
      found = make();
      this.contexts.set(key, found);
    }
    return found;
  }

  private stage(take: Take, first: number): Staged | undefined {
    const bench = this.bench(take.state);
    if (!bench) return undefined;
    const ground = (take.ground === undefined ? undefined : bench.nodeOf(take.ground)) ?? bench.reference;
    const channels = take.channels.filter((seen) => {
      const from = bench.nodeOf(seen.from);
      return from !== undefined && from !== (seen.to === undefined ? ground : bench.nodeOf(seen.to));
    });
    const ends = channels.map(
      (seen) => [bench.nodeOf(seen.from)!, seen.to === undefined ? ground : bench.nodeOf(seen.to)!] as const,
    );
    if (channels.length === 0) return undefined;
    if (take.into.length === 0 && bench.board.outputs.length === 0) return undefined;
    const extra: Element[] = [];
    if (take.input !== undefined)
      for (const [k, [a, b]] of ends.entries())
        if (a !== undefined && b !== undefined)
          extra.push({ kind: 'resistor', name: `recorder ${k}`, a, b, ohms: Math.max(take.input, wire) });
    for (const { side, points } of take.into) {
      const a = points[0] && bench.nodeOf(points[0].ref.name);
      const b = points[1] ? bench.nodeOf(points[1].ref.name) : bench.reference;
      if (a === undefined || b === undefined || a === b) return undefined;
      extra.push({ kind: 'voltage', name: `generator ${side ?? ''}`, a, b, ohms: Math.max(take.source ?? 0, wire) });
    }
    const plugged = extra.map((e) => (e.kind === 'op-amp' ? '' : `${e.name} ${e.a} ${e.b}`)).join(';');
    const contexts = take.bands.map(({ hertz }) =>
      this.context(
        `${bench.copper.state} ${hertz} ${plugged} ${take.input} ${take.source}`,
        () => new Context(bench, hertz, extra, true, this.guessed),
      ),
    );
    const ports = contexts.map(({ ports: of }) => ends.map(([a, b]) => of.port(a, b)));
    if (ports.some((row) => row.some((port) => port === undefined))) return undefined;
    const full = take.into.length > 0 || bench.board.outputs.every((output) => output.fullScale !== undefined);
    const gain = full || take.gain.sd !== floors.scale ? take.gain : { name: 'full scale', sd: floors.unknownGain };
    return { take: { ...take, channels }, gain, contexts, ports: ports as number[][], first };
  }

  private stageMeter(meter: Metered, slot: number): StagedMeter | undefined {
    const bench = this.bench(meter.state);
    const from = bench?.nodeOf(meter.from);
    const to = meter.to === undefined ? bench?.reference : bench?.nodeOf(meter.to);
    if (!bench || from === undefined || to === undefined || from === to) return undefined;
    const powered = meter.kind === 'dc';
    const context = this.context(
      `${bench.copper.state} ${powered ? 'dc' : 'ohms'}`,
      () => new Context(bench, 0, [], powered, this.guessed),
    );
    const port = context.ports.port(from, to);
    if (port === undefined) return undefined;
    const atChip = [meter.from, meter.to].some((point) =>
      (point === undefined ? [] : (bench.copper.node(point)?.pins ?? [])).some((pin) => pin.part.pinout),
    );
    return { meter, context, port, atChip, slot };
  }

  /** What a hypothesis in one of its variants would have shown. Without `columns`, values alone. */
  predict(effect: Effect, columns = true): Prediction {
    const made = new Predicting(this.slots, effect, columns);
    for (const staged of this.takes) made.take(staged);
    for (const staged of this.meters) made.meter(staged);
    return made;
  }
}

/** Adds what one take after the other shows. */
class Predicting implements Prediction {
  readonly values: Float64Array;
  readonly columns = new Map<string, Float64Array>();
  readonly correlations: (number | undefined)[] = [];
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
      const { hertz, weight } = take.bands[b]!;
      const { view, changed } = this.seen(context);
      for (const programme of programmes) {
        const driven = this.driven(take, context, programme, hertz);
        const nodes = sum(context, driven);
        const at = ports[b]!.map((port) => view.across(nodes, port));
        for (const [k, value] of at.entries()) {
          if (power) sums[k]! += weight * (value.re ** 2 + value.im ** 2);
          else this.put(this.values, first + k, value);
        }
        if (power && count > 1) {
          const [x, y] = [at[0]!, at[1]!];
          cross.re += weight * (x.re * y.re + x.im * y.im);
        }
        if (this.wantColumns)
          this.moves(context, view, changed, driven, nodes, ports[b]!, (name, k, step) => {
            if (!power) this.put(this.column(name), first + k, step);
            // d√Σ|p|² = Σ Re(p*·dp)/√Σ|p|²; the root is divided by below.
            else this.column(name)[2 * (first + k)]! += weight * (at[k]!.re * step.re + at[k]!.im * step.im);
          });
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
    this.misprobe(take, first);
  }

  private driven(take: Take, context: Context, programme: Programme, hertz: number): Driven[] {
    if (take.into.length === 0)
      return drivenBy(context.bench.board.outputs, programme, take.bands.length > 1 ? null : hertz, this.effect);
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

  meter({ meter, context, port, slot }: StagedMeter): void {
    const { view, changed } = this.seen(context);
    const { effect } = this;
    if (meter.kind !== 'dc') {
      const column = context.ports.column(port);
      this.values[2 * slot] = Math.min(Math.max(view.across(column, port).re, wire), overRange);
      if (this.wantColumns)
        for (const { element, port: own, step } of context.tolerant) {
          if (changed.has(element)) continue;
          const into = view.across(column, own).re;
          const out = view.across(context.ports.column(own), port).re;
          const move = -out * step.re * into;
          if (move !== 0) this.column(`part ${element}`)[2 * slot]! += move;
        }
      return;
    }
    const gone = new Set((effect.dead ?? []).filter((dead) => dead.bias).map((dead) => dead.output));
    const rails = context.rails
      .filter(({ name }) => !gone.has(name))
      .map((rail) => {
        const share = effect.rails?.find((one) => one.name === rail.name)?.share ?? 1;
        return { ...rail, share, chip: undefined, volts: { re: rail.volts * share, im: 0 } };
      });
    const nodes = sum(context, rails);
    this.values[2 * slot] = view.across(nodes, port).re;
    if (!this.wantColumns) return;
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
        }
    }
  }

  private put(into: Float64Array, slot: number, value: Complex): void {
    into[2 * slot]! += value.re;
    into[2 * slot + 1]! += value.im;
  }
}

function sum(context: Context, driven: readonly Driven[]): Phasors {
  let nodes: Phasors | undefined;
  for (const { name, volts } of driven) {
    const response = context.ports.response(name);
    nodes ??= new Float64Array(response.length);
    for (let k = 0; k < response.length; k += 2) {
      nodes[k]! += response[k]! * volts.re - response[k + 1]! * volts.im;
      nodes[k + 1]! += response[k]! * volts.im + response[k + 1]! * volts.re;
    }
  }
  return nodes ?? new Float64Array(2 * context.ports.nodes);
}

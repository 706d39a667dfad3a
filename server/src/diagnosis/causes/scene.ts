import type { Board } from '../../board/board';
import type { Element } from '../../circuit/netlist';
import { type Bench, benchOf } from './bench';
import { Context } from './context';
import { conditionOf } from './metered';
import { wire } from './ports';
import { Predicting } from './predict';
import { floors } from './priors';
import { type Heard, heardAt, leavesSources, moves } from './reach';
import type { Prediction, Staged, StagedMeter } from './staged';
import { copy, copySlots, same } from './taken-over';
import type { Measured, Metered, Take } from './takes';
import type { Effect } from './types';

/** Everything measured on a board, staged: asks the network what a hypothesis would have shown. */
export class Scene {
  readonly takes: readonly Staged[];
  readonly meters: readonly StagedMeter[];
  readonly slots: number;
  /** How many of them are channels of takes: they come first, meters after. */
  readonly signals: number;
  /** Labels of what the network cannot be asked about. */
  readonly lost: readonly string[];
  /** By state: as written, and with the values taken. */
  private readonly written: Map<string, Bench | undefined>;
  private readonly benches = new Map<string, Bench | undefined>();
  private readonly contexts = new Map<string, Context>();
  private readonly known = new Map<Context, Heard>();
  private readonly guessed: ReadonlySet<string>;

  /**
   * @param filled values taken for elements whose own nobody has stated
   * @param other a scene of the same board, whose benches as written serve here too
   */
  constructor(
    readonly board: Board,
    readonly measured: Measured,
    private readonly filled: ReadonlyMap<string, number> = new Map(),
    other?: Scene,
  ) {
    this.written = other?.written ?? new Map();
    const lost: string[] = [];
    let slots = 0;
    this.guessed = new Set(filled.keys());
    const takes: Staged[] = [];
    for (const take of measured.takes) {
      const staged = this.stage(take, slots, takes);
      if (staged) {
        takes.push(staged);
        slots += staged.take.channels.length;
      } else lost.push(take.label);
    }
    this.takes = takes;
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

  /** The same board with the same values taken, asked about other measurements. */
  asking(measured: Measured): Scene {
    return new Scene(this.board, measured, this.filled, this);
  }

  /** The same measurements on the same board, with values taken for elements whose own nobody has stated. */
  filledWith(values: ReadonlyMap<string, number>): Scene {
    return new Scene(this.board, this.measured, values, this);
  }

  bench(state: string): Bench | undefined {
    if (!this.benches.has(state)) {
      if (!this.written.has(state)) this.written.set(state, benchOf(this.board.at(state)));
      const bench = this.written.get(state);
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

  private stage(take: Take, first: number, before: readonly Staged[]): Staged | undefined {
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
    const heard = this.heard(contexts[0]!, ends.flat());
    const staged: Staged = {
      take: { ...take, channels },
      gain,
      contexts,
      ports: ports as number[][],
      first,
      heard,
      like: undefined,
    };
    return { ...staged, like: before.find((other) => same(other, staged)) };
  }

  private stageMeter(meter: Metered, slot: number): StagedMeter | undefined {
    const bench = this.bench(meter.state);
    const from = bench?.nodeOf(meter.from);
    const to = meter.to === undefined ? bench?.reference : bench?.nodeOf(meter.to);
    if (!bench || from === undefined || to === undefined || from === to) return undefined;
    const { hertz, powered } = conditionOf(meter);
    const context = this.context(
      `${bench.copper.state} ${powered ? 'dc' : 'ohms'} ${hertz}`,
      () => new Context(bench, hertz, [], powered, this.guessed),
    );
    // A clock is no figure of the network: its pins need not be in it.
    const port = meter.kind === 'clock' ? context.ports.port(to, to) : context.ports.port(from, to);
    if (port === undefined) return undefined;
    const atChip = [meter.from, meter.to].some((point) =>
      (point === undefined ? [] : (bench.copper.node(point)?.pins ?? [])).some((pin) => pin.part.pinout),
    );
    return { meter, context, port, atChip, slot, heard: this.heard(context, [from, to]) };
  }

  private heard(context: Context, nodes: readonly string[]): Heard {
    const heard = heardAt(context, nodes, this.known.get(context));
    this.known.set(context, heard);
    return heard;
  }

  private readonly still: (Prediction | undefined)[] = [];

  /** What the board as designed would have shown. */
  designed(columns = true): Prediction {
    const kept = this.still[columns ? 1 : 0] ?? this.still[1];
    if (kept) return kept;
    const made = this.asked({}, columns);
    this.still[columns ? 1 : 0] = made;
    return made;
  }

  /**
   * What a hypothesis in one of its variants would have shown. Without `columns`, values alone are promised. What an effect cannot
   * move is not worked out again: where it moves nothing at all the answer is `designed` itself.
   */
  predict(effect: Effect, columns = true): Prediction {
    if (!leavesSources(effect)) return this.asked(effect, columns);
    const still = new Set<Staged | StagedMeter>();
    for (const staged of this.takes)
      if (!moves(effect, staged.heard) && !wronglyProbed(staged, effect)) still.add(staged);
    for (const staged of this.meters)
      if (ofNetworkAlone.has(staged.meter.kind) && !moves(effect, staged.heard)) still.add(staged);
    const designed = this.designed(columns);
    return still.size < this.takes.length + this.meters.length
      ? this.asked(effect, columns, designed, still)
      : designed;
  }

  /** @param designed what to keep wherever the effect moves nothing: at those that are `still` */
  private asked(
    effect: Effect,
    columns: boolean,
    designed?: Prediction,
    still?: ReadonlySet<Staged | StagedMeter>,
  ): Prediction {
    const made = new Predicting(this.slots, effect, columns);
    for (const [t, staged] of this.takes.entries()) {
      const { like, first, take } = staged;
      const count = take.channels.length;
      if (designed && still?.has(staged)) copy(designed, t, first, made, first, count, columns);
      else if (like && !wronglyProbed(staged, effect) && !wronglyProbed(like, effect))
        copy(made, this.takes.indexOf(like), like.first, made, first, count, columns);
      else made.take(staged);
    }
    for (const staged of this.meters)
      if (designed && still?.has(staged)) copySlots(designed, staged.slot, made, staged.slot, 1, columns);
      else made.meter(staged);
    return made;
  }
}

/** Meters that show what the network does and nothing else. */
const ofNetworkAlone: ReadonlySet<Metered['kind']> = new Set(['dc', 'ohms', 'above', 'below']);

const wronglyProbed = ({ take }: Staged, { probing }: Effect): boolean =>
  probing?.some(({ capture }) => capture === take.capture) === true;

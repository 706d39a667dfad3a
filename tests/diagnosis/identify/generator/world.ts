import type { PinRole } from '../../../../server/src/board/pin-roles';
import { inferPin } from '../../../../server/src/board/pin-roles';
import type { Pinout, PinSpec } from '../../../../server/src/board/pinout';
import type { PinSeen } from '../../../../server/src/diagnosis/identify/seen';
import { seeded } from '../../../circuit/draw';
import { type Duty, type Lead, type Mix, rails, straps } from './habits';

/** A family of boards: what chips are made of, how boards are wired, and how often an observation is wrong: each bench by one of these. */
export interface Family {
  readonly mix: Mix;
  readonly duties: Readonly<Record<string, Duty>>;
  readonly wrong: readonly number[];
}

/** A chip as the generator knows it: the duty of each pin, in order. */
export interface Chip {
  readonly pins: readonly string[];
  readonly pinout: Pinout;
}

export type Turn = 'as-marked' | 'half-turn' | 'quarter-turn' | 'three-quarter-turn' | 'mirrored';
/** How pins were counted: written pin (from 0) → data-sheet pin (from 0). */
export interface Way {
  readonly turn: Turn;
  readonly prior: number;
  readonly to: readonly number[];
}

/** What is shown of a board: an observation the model reads, and what the generator knows it by. */
export interface Shown {
  readonly written: number;
  readonly lead: Lead | undefined;
  readonly dc: number | undefined;
  readonly seen: PinSeen;
}

export interface Board {
  readonly candidates: readonly Chip[];
  readonly ways: readonly Way[];
  /** Undefined: the true chip is not among the candidates. */
  readonly truth: Chip | undefined;
  readonly way: Way;
  /** How often this bench is wrong. */
  readonly wrong: number;
  /** Observations of all pins, in the order in which a random subset grows. */
  readonly shown: readonly Shown[];
}

const sizes = [8, 14, 16, 20, 24, 28, 32, 40, 48, 64] as const;

/** The ways to count n pins and how often they happen: counted right in seven of ten. */
export function waysOf(n: number): Way[] {
  const keys = Array.from({ length: n }, (_, at) => at);
  const to = (of: (at: number) => number) => keys.map((at) => ((of(at) % n) + n) % n);
  const square = n >= 32 && n % 4 === 0;
  return [
    { turn: 'as-marked', prior: 0.7, to: to((at) => at) },
    { turn: 'half-turn', prior: square ? 0.06 : 0.12, to: to((at) => at + n / 2) },
    ...(square
      ? [
          { turn: 'quarter-turn' as const, prior: 0.03, to: to((at) => at + n / 4) },
          { turn: 'three-quarter-turn' as const, prior: 0.03, to: to((at) => at + (3 * n) / 4) },
        ]
      : []),
    // Counted clockwise from pin 1; seen from below.
    { turn: 'mirrored', prior: 0.09, to: to((at) => -at) },
    { turn: 'mirrored', prior: 0.09, to: to((at) => n - 1 - at) },
  ];
}

const known = new Map<string, ReturnType<typeof inferPin>>();
function saidBy(name: string): ReturnType<typeof inferPin> {
  const said = known.get(name) ?? inferPin(name);
  known.set(name, said);
  return said;
}

export class World {
  private readonly draw: () => number;
  private made = 0;
  private readonly shares: ReadonlyMap<string, number>;

  constructor(
    readonly family: Family,
    seed: number,
  ) {
    this.draw = seeded(seed);
    this.shares = dutyShares(family);
  }

  private whole(from: number, to: number): number {
    return from + Math.floor(this.draw() * (to - from + 1));
  }

  private pick<T>(weighted: readonly (readonly [T, number])[]): T {
    let at = this.draw() * weighted.reduce((sum, [, weight]) => sum + weight, 0);
    for (const [value, weight] of weighted) {
      at -= weight;
      if (at < 0) return value;
    }
    return weighted[weighted.length - 1]![0];
  }

  private shuffled<T>(list: readonly T[]): T[] {
    const all = [...list];
    for (let at = all.length - 1; at > 0; at--) {
      const other = this.whole(0, at);
      [all[at], all[other]] = [all[other]!, all[at]!];
    }
    return all;
  }

  private duty(): string {
    return this.pick(Object.entries(this.family.mix));
  }

  /** Any pin of any chip, partners too. */
  private anyDuty(): string {
    return this.pick([...this.shares]);
  }

  /** A random chip of n pins: pairs lie beside each other, everything else where it falls. */
  chip(n: number): Chip {
    const groups: string[][] = [['ground'], [this.pick(always.slice(1))]];
    let count = 2;
    while (count < n) {
      const name = this.duty();
      const partner = this.family.duties[name]!.with;
      const group = partner && count + 2 <= n ? [name, partner] : partner ? ['general'] : [name];
      groups.push(group);
      count += group.length;
    }
    return this.asChip(this.shuffled(groups).flat());
  }

  /** A sibling: two to four pins are something else, by exchange or for good. */
  sibling(of: Chip): Chip {
    const pins = [...of.pins];
    const places = this.shuffled(pins.map((_, at) => at)).slice(0, this.whole(2, Math.min(4, pins.length)));
    if (this.draw() < 0.5) {
      const moved = places.map((at) => pins[at]!);
      places.forEach((at, index) => {
        pins[at] = moved[(index + 1) % moved.length]!;
      });
    } else for (const at of places) pins[at] = this.anyDuty();
    if (pins.every((name, at) => name === of.pins[at])) return this.sibling(of);
    return this.asChip(pins, of);
  }

  /** What is alike in a sibling is written alike. */
  private asChip(pins: readonly string[], sibling?: Chip): Chip {
    const name = `chip-${this.made++}`;
    const specs = new Map<string, PinSpec>();
    pins.forEach((duty, at) => {
      const key = String(at + 1);
      const alike = sibling?.pins[at] === duty ? sibling.pinout.pins.get(key) : undefined;
      specs.set(key, alike ?? this.spec(key, this.family.duties[duty]!, name));
    });
    return {
      pins,
      pinout: {
        name,
        file: name,
        span: { start: 0, end: 0 },
        describes: undefined,
        packageStyle: pins.length >= 32 ? `qfn-${pins.length}` : `sop-${pins.length}`,
        pinCount: pins.length,
        markings: [],
        pins: specs,
        modes: new Map(),
        sections: [],
        inline: false,
        problems: [],
      },
    };
  }

  private spec(key: string, duty: Duty, file: string): PinSpec {
    const name = duty.names[this.whole(0, duty.names.length - 1)]!;
    const said = saidBy(name);
    // Two data sheets of three state ranges.
    const range = this.draw() < 0.67 ? duty.range : undefined;
    return {
      key,
      name,
      role: said.role as PinRole | undefined,
      roleStated: false,
      channel: said.channel,
      leg: said.leg,
      volts: range && { min: range[0], max: range[1], ends: true },
      voltsBroken: false,
      returnPin: undefined,
      bias: undefined,
      fullScale: undefined,
      impedance: undefined,
      minLoad: undefined,
      frequency: undefined,
      active: said.active,
      alternates: [],
      note: undefined,
      file,
      span: { start: 0, end: 0 },
    };
  }

  /**
   * A board with its candidates: families of a chip and one to five siblings. The true chip is any of them with the same chance, so
   * that who knows the list knows nothing else; `absent`: it is none of them, and no sibling of any. `turned`: counted in any way but
   * the right one; `buzzed`: nothing is only read off a meter.
   */
  board(
    options: { absent?: boolean; turned?: boolean; buzzed?: boolean; n?: number; candidates?: number } = {},
  ): Board {
    const n = options.n ?? sizes[this.whole(0, sizes.length - 1)]!;
    const many = options.candidates ?? 50;
    const candidates: Chip[] = [];
    while (candidates.length < many) {
      const first = this.chip(n);
      candidates.push(first);
      for (let k = this.whole(1, 5); k > 0 && candidates.length < many; k--) candidates.push(this.sibling(first));
    }
    const truth = options.absent ? this.chip(n) : candidates[this.whole(0, many - 1)]!;
    const ways = waysOf(n);
    const way = this.pick(
      ways.map((each) => [each, options.turned && each.turn === 'as-marked' ? 0 : each.prior] as const),
    );
    const wrong = this.family.wrong[this.whole(0, this.family.wrong.length - 1)]!;
    const order = this.shuffled(Array.from({ length: n }, (_, at) => at));
    return {
      candidates: this.shuffled(candidates),
      ways,
      truth: options.absent ? undefined : truth,
      way,
      wrong,
      shown: order.map((written) => this.observe(written, truth.pins[way.to[written]!]!, wrong, options.buzzed)),
    };
  }

  /** One observation of a pin: buzzed out, or one time in seven only a meter put on it; sometimes that of another pin. */
  private observe(written: number, duty: string, wrong: number, buzzed = false): Shown {
    const of = this.draw() < wrong ? this.anyDuty() : duty;
    const known = this.family.duties[of]!;
    const pin = String(written + 1);
    if (!buzzed && this.draw() < 1 / 7) {
      const [mean, sd] = this.pick(known.dc.map((bell) => [bell, bell[2]] as const));
      const dc = mean + sd * this.bell();
      return { written, lead: undefined, dc, seen: { pin, dc: { volts: dc, evidence: 'measured' } } };
    }
    const lead = this.lead(known);
    return {
      written,
      lead,
      dc: undefined,
      seen: {
        pin,
        copper: {
          kind: lead.kind as NonNullable<PinSeen['copper']>['kind'],
          ...(lead.side && { side: lead.side }),
          ...(lead.rail !== undefined && { volts: rails[lead.rail]! }),
          evidence: 'buzzed',
        },
      },
    };
  }

  private lead(duty: Duty): Lead {
    const kind = this.pick(duty.leads);
    if (kind.startsWith('audio-') && kind !== 'audio-in') return { kind, side: this.pick(sides(duty)) };
    if (kind === 'supply' && this.draw() < 0.6) return { kind, rail: this.pick(supplies(duty)) };
    return { kind };
  }

  /** A standard normal deviate (Box and Muller 1958). */
  private bell(): number {
    return Math.sqrt(-2 * Math.log(1 - this.draw())) * Math.cos(2 * Math.PI * this.draw());
  }
}

/** Which contact an audio pin reaches: crossed one time in twenty, summed one in twelve. */
export const sides = (duty: Duty): (readonly ['left' | 'right' | 'mono', number])[] =>
  duty.channel
    ? [
        [duty.channel, 104],
        [duty.channel === 'left' ? 'right' : 'left', 6],
        ['mono', 10],
      ]
    : [
        ['left', 1],
        ['right', 1],
        ['mono', 1],
      ];

/** Which rail a pin on a supply is on. */
export const supplies = (duty: Duty): (readonly [number, number])[] =>
  rails.map((_, at) => [at, (duty.feeds ?? straps)[at]!] as const);

/** The pins that every chip has. */
const always = [
  ['ground', 1],
  ['analogue', 0.75],
  ['cell', 0.25],
] as const;

/** How often each duty comes up on a chip of n pins: those that every chip has, and the rest as the family has them. */
export function chipShares(family: Family, n: number): ReadonlyMap<string, number> {
  const shares = new Map([...dutyShares(family)].map(([name, share]) => [name, (share * (n - 2)) / n]));
  for (const [name, count] of always) shares.set(name, (shares.get(name) ?? 0) + count / n);
  return shares;
}

/** How often each duty comes up beyond those, partners counted: what a pin is when nothing is known. */
export function dutyShares(family: Family): ReadonlyMap<string, number> {
  const shares = new Map<string, number>();
  for (const [name, weight] of Object.entries(family.mix)) {
    shares.set(name, (shares.get(name) ?? 0) + weight);
    const partner = family.duties[name]!.with;
    if (partner) shares.set(partner, (shares.get(partner) ?? 0) + weight);
  }
  const total = [...shares.values()].reduce((sum, share) => sum + share, 0);
  return new Map([...shares].map(([name, share]) => [name, share / total]));
}

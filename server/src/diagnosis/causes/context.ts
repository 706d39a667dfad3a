import { network } from '../../circuit/ac';
import type { Complex } from '../../circuit/complex';
import { impedance } from '../../circuit/impedance';
import type { Diode, Element, Impedance } from '../../circuit/netlist';
import type { Bench } from './bench';
import { type Added, admittance, Ports, solder, View, wire } from './ports';
import { floors, tolerances } from './priors';
import type { Bridge, Effect, ElementChange } from './types';

/** An element whose true value lies about its stated one. */
export interface Tolerant {
  readonly element: string;
  readonly port: number;
  /** S it gains when its value is one standard deviation up. */
  readonly step: Complex;
}

/** A DC source: V, and one standard deviation of it. */
interface Rail {
  readonly name: string;
  readonly volts: number;
  readonly sd: number;
}

/** One bench network under one condition: a frequency, what is plugged in to listen and to feed, powered or not. */
export class Context {
  readonly ports: Ports;
  /** Diodes, and those of them that conduct at rest. */
  readonly diodes: readonly Diode[];
  private readonly conducting: ReadonlySet<string>;
  readonly tolerant: readonly Tolerant[];
  private readonly elements: ReadonlyMap<string, Element>;

  constructor(
    readonly bench: Bench,
    readonly frequency: number,
    extra: readonly Element[] = [],
    powered = true,
    /** Elements whose value is a guess: uncertain by the step of its series. */
    private readonly guessed: ReadonlySet<string> = new Set(),
  ) {
    const own = powered ? bench.elements : bench.elements.filter(passive);
    const netlist = { reference: bench.reference, elements: [...own, ...extra] };
    const made = network(netlist);
    this.ports = new Ports(made.at(frequency));
    this.diodes = netlist.elements.filter((element) => element.kind === 'diode');
    this.conducting = new Set(
      this.diodes.length === 0 ? [] : [...made.dc.diodes].flatMap(([name, state]) => (state === 'off' ? [] : [name])),
    );
    this.elements = new Map(netlist.elements.map((element) => [element.name, element]));
    this.tolerant = netlist.elements.flatMap((element) => this.tolerance(element) ?? []);
  }

  /** The node of a point; a node's own name is one too. */
  node(point: string): string {
    return this.bench.nodeOf(point) ?? point;
  }

  /** Whether a diode conducts at rest, as designed. */
  conducts(diode: string): boolean {
    return this.conducting.has(diode);
  }

  has(element: string): boolean {
    return this.elements.has(element);
  }

  private listed: readonly Rail[] | undefined;

  /** DC sources: V, and how far off they may be (one standard deviation). */
  get rails(): readonly Rail[] {
    // As solved: a diode that conducts is a source there.
    this.listed ??= this.ports.solved.netlist.elements.flatMap((element) => this.rail(element) ?? []);
    return this.listed;
  }

  private rail(element: Element): Rail | undefined {
    if (element.kind !== 'voltage') return undefined;
    const { copper, board } = this.bench;
    const { name, dc } = element;
    const output = board.outputs.find((one) => one.name === name);
    if (output && output.pin.spec?.bias === undefined) return { name, volts: 0, sd: floors.unknownBias };
    if (!dc) return undefined;
    if (this.conducting.has(name)) return { name, volts: dc, sd: floors.drop };
    const net = copper.nodes.flatMap((node) => node.nets).find((one) => `net ${one.name}` === name);
    const range = net?.volts ? (net.volts.max - net.volts.min) / Math.sqrt(12) : 0;
    const share = copper.parts.get(name)?.kind === 'cell' ? floors.cell : floors.rail;
    return { name, volts: dc, sd: Math.max(range, share * Math.abs(dc)) };
  }

  /** The network under an effect. */
  view(effect: Effect): View {
    const added = new Map<number, { re: number; im: number }>();
    const add = (port: number | undefined, siemens: Complex) => {
      if (port === undefined || (siemens.re === 0 && siemens.im === 0)) return;
      const before = added.get(port) ?? { re: 0, im: 0 };
      added.set(port, { re: before.re + siemens.re, im: before.im + siemens.im });
    };
    for (const change of effect.changes ?? []) {
      const element = this.changed(change);
      if (!element) continue;
      const now = this.becoming(element, change.becomes);
      const old = this.own(element);
      add(this.ports.port(element.a, element.b), { re: now.re - old.re, im: now.im - old.im });
    }
    for (const bridge of effect.bridges ?? []) {
      const [a, b] = bridge.between.map((point) => this.node(point));
      if (a !== b) add(this.ports.port(a!, b!), this.bridging(bridge));
    }
    return new View(
      this.ports,
      [...added].map(([port, siemens]): Added => ({ port, siemens })),
    );
  }

  /** Elements an effect changes: their own tolerance no longer counts. */
  changedBy(effect: Effect): ReadonlySet<string> {
    return new Set((effect.changes ?? []).filter((change) => this.changed(change)).map((change) => change.element));
  }

  /** What is uncertain within an effect: S by which each of its values moves when it is one standard deviation up. */
  spreadIn(effect: Effect): Tolerant[] {
    const found: Tolerant[] = [];
    const put = (element: string, port: number | undefined, spread: number, of: (by: number) => Complex) => {
      if (port === undefined) return;
      const [low, high] = [of(1 - spread / 2), of(1 + spread / 2)];
      found.push({ element, port, step: { re: high.re - low.re, im: high.im - low.im } });
    };
    for (const change of effect.changes ?? []) {
      const { becomes, spread } = change;
      const element = spread === undefined || typeof becomes === 'string' ? undefined : this.changed(change);
      if (!element || typeof becomes === 'string') continue;
      put(`${element.name} itself`, this.ports.port(element.a, element.b), spread!, (by) =>
        this.becoming(element, scaled(becomes, by)),
      );
    }
    for (const [k, bridge] of (effect.bridges ?? []).entries()) {
      const [a, b] = bridge.between.map((point) => this.node(point));
      if (bridge.spread === undefined || a === b) continue;
      put(`bridge ${k}`, this.ports.port(a!, b!), bridge.spread, (by) => this.bridging(bridge, by));
    }
    return found;
  }

  private bridging({ ohms, farads }: Bridge, by = 1): Complex {
    return {
      re: ohms === undefined ? 0 : 1 / Math.max(ohms * by, solder),
      im: farads === undefined ? 0 : 2 * Math.PI * this.frequency * farads * by,
    };
  }

  /** S of an element under an effect, as a magnitude. */
  siemens(name: string, effect: Effect): number {
    const element = this.elements.get(name);
    if (!element || !changeable(element)) return 0;
    const change = (effect.changes ?? []).find((one) => one.element === name);
    const { re, im } = change ? this.becoming(element, change.becomes) : this.own(element);
    return Math.hypot(re, im);
  }

  private own(element: Changeable): Complex {
    if (element.kind !== 'diode') return admittance(element, this.frequency);
    return { re: this.conducting.has(element.name) ? 1 / Math.max(element.ohms ?? 0, wire) : 0, im: 0 };
  }

  private changed({ element, part }: ElementChange): Changeable | undefined {
    if (part && this.bench.copper.parts.get(part.designator) !== part) return undefined;
    const found = this.elements.get(element);
    return found && changeable(found) ? found : undefined;
  }

  private becoming(element: Changeable, becomes: ElementChange['becomes']): Complex {
    if (becomes === 'open' || becomes === 'reversed') return { re: 0, im: 0 };
    if (becomes === 'short') return { re: 1 / solder, im: 0 };
    return admittance({ ...element, ...becomes } as Element, this.frequency);
  }

  private tolerance(element: Element): Tolerant | undefined {
    if (!changeable(element) || element.kind === 'diode') return undefined;
    const part = this.bench.copper.parts.get(element.name.split(' ')[0]!);
    const share = this.guessed.has(element.name) ? guess : part && (part.tolerance ?? tolerances[element.kind]);
    const z = impedance(element, this.frequency);
    const port = this.ports.port(element.a, element.b);
    if (!share || !z || port === undefined) return undefined;
    const { re, im } = admittance(element, this.frequency);
    // A tolerance is the edge of an even spread: a standard deviation is 1/√3 of it. Resistance and inductance up: admittance down.
    const sd = ((element.kind === 'capacitor' ? 1 : -1) * share) / Math.sqrt(3);
    return { element: element.name, port, step: { re: re * sd, im: im * sd } };
  }
}

const scaled = (values: Exclude<ElementChange['becomes'], string>, by: number): typeof values =>
  Object.fromEntries(Object.entries(values).map(([key, value]) => [key, key === 'esr' ? value / by : value * by]));

/** Half the step of a coarse series. */
const guess = 0.3;

type Changeable = Impedance | Diode;

const changeable = (element: Element): element is Changeable =>
  element.kind === 'resistor' ||
  element.kind === 'capacitor' ||
  element.kind === 'inductor' ||
  element.kind === 'load' ||
  element.kind === 'diode';

/** What is left of a board without power and with nothing plugged in. */
const passive = (element: Element): boolean =>
  element.kind === 'resistor' ||
  element.kind === 'capacitor' ||
  element.kind === 'inductor' ||
  element.kind === 'diode' ||
  // A loudspeaker stays; what plugs into a contact does not.
  (element.kind === 'load' && !element.name.startsWith('load at '));

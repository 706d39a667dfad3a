import { network } from '../../circuit/ac';
import type { Complex } from '../../circuit/complex';
import { impedance } from '../../circuit/impedance';
import type { Element, Impedance } from '../../circuit/netlist';
import type { Bench } from './bench';
import { type Added, admittance, Ports, View, wire } from './ports';
import { floors, tolerances } from './priors';
import type { Effect, ElementChange } from './types';

/** An element whose true value lies about its stated one. */
export interface Tolerant {
  readonly element: string;
  readonly port: number;
  /** S it gains when its value is one standard deviation up. */
  readonly step: Complex;
}

/** One bench network under one condition: a frequency, what is plugged in to listen and to feed, powered or not. */
export class Context {
  readonly ports: Ports;
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
    this.ports = new Ports(network(netlist).at(frequency));
    this.elements = new Map(netlist.elements.map((element) => [element.name, element]));
    this.tolerant = netlist.elements.flatMap((element) => this.tolerance(element) ?? []);
  }

  has(element: string): boolean {
    return this.elements.has(element);
  }

  /** DC sources: V, and how far off they may be (one standard deviation). */
  *rails(): Iterable<{ readonly name: string; readonly volts: number; readonly sd: number }> {
    const { copper } = this.bench;
    for (const { name, ...element } of this.elements.values()) {
      if (element.kind !== 'voltage' || !element.dc) continue;
      const net = copper.nodes.flatMap((node) => node.nets).find((one) => `net ${one.name}` === name);
      const range = net?.volts ? (net.volts.max - net.volts.min) / Math.sqrt(12) : 0;
      const share = copper.parts.get(name)?.kind === 'cell' ? floors.cell : floors.rail;
      yield { name, volts: element.dc, sd: Math.max(range, share * Math.abs(element.dc)) };
    }
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
      const old = admittance(element, this.frequency);
      add(this.ports.port(element.a, element.b), { re: now.re - old.re, im: now.im - old.im });
    }
    for (const { between, ohms, farads } of effect.bridges ?? []) {
      const a = this.bench.nodeOf(between[0]);
      const b = this.bench.nodeOf(between[1]);
      if (a === undefined || b === undefined || a === b) continue;
      const omega = 2 * Math.PI * this.frequency;
      add(this.ports.port(a, b), {
        re: ohms === undefined ? 0 : 1 / Math.max(ohms, wire),
        im: farads === undefined ? 0 : omega * farads,
      });
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

  private changed({ element, part }: ElementChange): Impedance | undefined {
    if (part && this.bench.copper.parts.get(part.designator) !== part) return undefined;
    const found = this.elements.get(element);
    return found && isImpedance(found) ? found : undefined;
  }

  private becoming(element: Impedance, becomes: ElementChange['becomes']): Complex {
    if (becomes === 'open') return { re: 0, im: 0 };
    if (becomes === 'short') return { re: 1 / wire, im: 0 };
    return admittance({ ...element, ...becomes } as Element, this.frequency);
  }

  private tolerance(element: Element): Tolerant | undefined {
    if (element.kind !== 'resistor' && element.kind !== 'capacitor' && element.kind !== 'inductor') return undefined;
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

/** Half the step of a coarse series. */
const guess = 0.3;

const isImpedance = (element: Element): element is Impedance =>
  element.kind === 'resistor' || element.kind === 'capacitor' || element.kind === 'inductor' || element.kind === 'load';

/** What is left of a board without power and with nothing plugged in. */
const passive = (element: Element): boolean =>
  element.kind === 'resistor' ||
  element.kind === 'capacitor' ||
  element.kind === 'inductor' ||
  element.kind === 'diode';

/**
 * A board as an electrical network: plain data, fit to be sent to a worker. Everything is in base units (V, A, Ω, F, H).
 * AC amplitudes are RMS throughout the product; the network itself is linear and keeps whatever sense it is given.
 */
export interface Netlist {
  /** The node every voltage is against. */
  readonly reference: string;
  /** Names are unique: they key currents and changes, and stand in messages ("C7 – R4 floats at DC"). */
  readonly elements: readonly Element[];
}

/** A value of a part; null where nobody has said. An element without its value is left out of the network as if open (an inductor only at AC). */
export type Value = number | null;

/** Between two nodes. Its current counts positive from `a` through the element to `b`. */
interface TwoNodes {
  readonly name: string;
  readonly a: string;
  readonly b: string;
}

/** 0 Ω is a join, Infinity an open. */
export interface Resistor extends TwoNodes {
  readonly kind: 'resistor';
  readonly ohms: Value;
}

/** `esr` in series, at every frequency the same; open at DC. */
export interface Capacitor extends TwoNodes {
  readonly kind: 'capacitor';
  readonly farads: Value;
  readonly esr?: number;
}

/** `dcr` in series; at DC it is all there is. */
export interface Inductor extends TwoNodes {
  readonly kind: 'inductor';
  readonly henries: Value;
  readonly dcr?: number;
}

/** What is plugged in: a headphone, a line input, a meter or a recorder; `farads` lie across its resistance. */
export interface Load extends TwoNodes {
  readonly kind: 'load';
  readonly ohms: Value;
  readonly farads?: number;
}

/**
 * Holds `a` above `b` by `dc` at DC and by the phasor `ac` (with `phase` in degrees) at every other frequency, behind
 * `ohms` in series. A sine generator, a chip's output (its bias as `dc`), a cell, a regulator's output.
 */
export interface VoltageSource extends TwoNodes {
  readonly kind: 'voltage';
  readonly dc?: number;
  readonly ac?: number;
  readonly phase?: number;
  readonly ohms?: number;
}

/** Drives a current out of node `a`, through itself, into node `b`. */
export interface CurrentSource extends TwoNodes {
  readonly kind: 'current';
  readonly dc?: number;
  readonly ac?: number;
  readonly phase?: number;
}

/** Voltage-controlled voltage source: `a` above `b` by `gain` times (`plus` above `minus`), behind `ohms`. Amplifiers, bridges. */
export interface Vcvs extends TwoNodes {
  readonly kind: 'vcvs';
  readonly plus: string;
  readonly minus: string;
  readonly gain: number;
  readonly ohms?: number;
}

/** Voltage-controlled current source: from `a` through itself to `b` flow `siemens` times (`plus` above `minus`). */
export interface Vccs extends TwoNodes {
  readonly kind: 'vccs';
  readonly plus: string;
  readonly minus: string;
  readonly siemens: number;
}

/**
 * Ideal op-amp: its output takes whatever voltage makes both inputs equal, its inputs draw nothing. It never clips and
 * never latches, so feedback to the wrong input is not seen here. The output's current comes out of the reference node.
 */
export interface OpAmp {
  readonly kind: 'op-amp';
  readonly name: string;
  readonly plus: string;
  readonly minus: string;
  readonly out: string;
}

/**
 * First order, anode `a`, cathode `b`: open until `drop` volts forward, then that drop behind `ohms`; where `breakdown`
 * is stated (zener, TVS) it also holds that many volts in reverse. At AC it is `ohms` while it conducts, else open.
 */
export interface Diode extends TwoNodes {
  readonly kind: 'diode';
  readonly drop: number;
  readonly ohms?: number;
  readonly breakdown?: number;
}

/** Elements that are one impedance between two nodes. */
export type Impedance = Resistor | Capacitor | Inductor | Load;
export type Source = VoltageSource | CurrentSource;
/** What a linear analysis takes: diodes are resolved to their state before. */
export type Linear = Impedance | Source | Vcvs | Vccs | OpAmp;
export type Element = Linear | Diode;

/** Every node an element touches, controls included. */
export function nodesOf(element: Element): string[] {
  if (element.kind === 'op-amp') return [element.plus, element.minus, element.out];
  const two = [element.a, element.b];
  return element.kind === 'vcvs' || element.kind === 'vccs' ? [...two, element.plus, element.minus] : two;
}

/** Names of the elements whose value nobody has said. */
export function unknowns(netlist: Netlist): string[] {
  return netlist.elements.filter((element) => isUnknown(element)).map((element) => element.name);
}

function isUnknown(element: Element): boolean {
  if (element.kind === 'resistor' || element.kind === 'load') return element.ohms === null;
  if (element.kind === 'capacitor') return element.farads === null;
  return element.kind === 'inductor' && element.henries === null;
}

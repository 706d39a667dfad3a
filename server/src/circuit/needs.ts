import { type Complex, magnitude, real, subtract } from './complex';
import type { Element, Netlist } from './netlist';
import { unknowns } from './netlist';

/** Anything worked out from a network; null where it cannot be. */
export type FigureOf = (netlist: Netlist) => Complex | number | null;

/** Values tried in place of unknown ones, in Ω, F and H: unlike one another, so that no bridge balances by chance. */
const trials = { ohms: 1.3e3, farads: 0.7e-6, henries: 0.9e-3 };
/** A figure that moves by less than this fraction does not hang on the value. */
const still = 1e-9;

/**
 * The names of the elements without a value that a figure hangs on: it is worked out with trial values, and these are made a
 * hundred times smaller and larger, all at once and then by halves, until each that moves it is found alone. An empty list
 * means the figure may be told although values are missing.
 */
export function needs(netlist: Netlist, figure: FigureOf): string[] {
  const names = unknowns(netlist);
  if (names.length === 0) return [];
  const place = new Map(names.map((name, k) => [name, k]));
  const value = (varied: ReadonlySet<string>, factor: number) => {
    const elements = netlist.elements.map((element) => {
      const k = place.get(element.name);
      if (k === undefined) return element;
      // Unlike steps, so that no two of them make up for each other.
      return tried(element, (1 + 0.37 * k) * (varied.has(element.name) ? factor * (1 + 0.11 * k) : 1));
    });
    const result = figure({ ...netlist, elements });
    return typeof result === 'number' ? real(result) : result;
  };
  const base = value(new Set(), 1);
  const found: string[] = [];
  const search = (some: readonly string[]): void => {
    const varied = new Set(some);
    if (![0.01, 100].some((factor) => moved(base, value(varied, factor)))) return;
    if (some.length === 1) found.push(some[0]!);
    else {
      const half = some.length >> 1;
      search(some.slice(0, half));
      search(some.slice(half));
    }
  };
  search(names);
  return found;
}

function moved(a: Complex | null, b: Complex | null): boolean {
  if (a === null || b === null) return a !== b;
  return !(magnitude(subtract(a, b)) <= still * (magnitude(a) + magnitude(b)));
}

function tried(element: Element, factor: number): Element {
  if (element.kind === 'resistor' || element.kind === 'load') return { ...element, ohms: trials.ohms * factor };
  if (element.kind === 'capacitor') return { ...element, farads: trials.farads * factor };
  return element.kind === 'inductor' ? { ...element, henries: trials.henries * factor } : element;
}

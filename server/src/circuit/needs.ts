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
 * The names of the elements without a value that a figure hangs on: it is worked out with trial values, and each in turn
 * is made a hundred times smaller and larger. An empty list means the figure may be told although values are missing.
 */
export function needs(netlist: Netlist, figure: FigureOf): string[] {
  const names = unknowns(netlist);
  const value = (factors: ReadonlyMap<string, number>) => {
    const elements = netlist.elements.map((element) => {
      const k = names.indexOf(element.name);
      return k < 0 ? element : tried(element, (1 + 0.37 * k) * (factors.get(element.name) ?? 1));
    });
    const result = figure({ ...netlist, elements });
    return typeof result === 'number' ? real(result) : result;
  };
  const base = value(new Map());
  return names.filter((name) => [0.01, 100].some((factor) => moved(base, value(new Map([[name, factor]])))));
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

import type { Copper, CopperNode } from '../../board/copper';
import { across, type Element, elementsAt } from '../../board/elements';
import type { Part } from '../../board/part';
import { formatQuantity } from '../../quantity/format';
import { line, needed, type PlaceFigure } from './place-figures';

/** Kinds of which several side by side, or one after the other, are one value; and which way their values add up. */
const adds: Partial<Record<NonNullable<Part['kind']>, 'in series' | 'in parallel'>> = {
  resistor: 'in series',
  inductor: 'in series',
  capacitor: 'in parallel',
};

/** "with R7 in parallel 500 Ω", "with R5 in series 940 Ω": of one part together with those of its kind beside it. */
export function equivalents(copper: Copper, element: Element): PlaceFigure[] {
  const { part, nodes } = element;
  if (!part.kind || adds[part.kind] === undefined || nodes[0] === nodes[1]) return [];
  const beside = elementsAt(copper, nodes[0]).filter(
    (other) => other !== element && other.part.kind === part.kind && across(other, nodes[0]).to === nodes[1],
  );
  const chain = [...along(copper, element, nodes[0]), ...along(copper, element, nodes[1])];
  return [...together('in parallel', element, beside), ...together('in series', element, chain)];
}

/** Parts of the same kind that carry the very same current: on from a node that holds two ends of parts and nothing else. */
function along(copper: Copper, start: Element, end: CopperNode): Element[] {
  const found: Element[] = [];
  let [element, node] = [start, end];
  for (;;) {
    if (node.pins.length !== 2 || node.nets.length > 0 || !node.complete) return found;
    const next = elementsAt(copper, node).find((other) => other !== element);
    if (!next || next.part.kind !== start.part.kind || next === start || found.includes(next)) return found;
    found.push(next);
    [element, node] = [next, across(next, node).to];
  }
}

function together(how: 'in series' | 'in parallel', element: Element, others: readonly Element[]): PlaceFigure[] {
  if (others.length === 0) return [];
  const parts = [element.part, ...others.map((other) => other.part)];
  const over = parts.map((part) => part.designator).join(how === 'in series' ? ' – ' : ' ∥ ');
  const missing = parts.filter((part) => part.value === undefined);
  if (missing.length > 0)
    return needed(
      'equal',
      missing.map((part) => part.designator),
      over,
    );
  const values = parts.map((part) => part.value!.value);
  const sum = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);
  const value = adds[element.part.kind!] === how ? sum(values) : 1 / sum(values.map((one) => 1 / one));
  const names = others.map((other) => other.part.designator).join(', ');
  return [line('equal', `with ${names} ${how} ${formatQuantity(value, element.part.value!.dimension)}`, over)];
}

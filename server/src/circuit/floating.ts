import type { System } from './assemble';
import { largest, type Vector } from './matrix';
import { nodesOf } from './netlist';

/** A part of the network that the equations leave open. */
export interface Floating {
  /** Nodes whose voltage against the reference nothing sets; empty where only a current is open. */
  readonly nodes: readonly string[];
  /** Elements that touch these nodes, or round which the undetermined current runs; in the order of the network. */
  readonly parts: readonly string[];
}

/** Smaller than this beside the largest component, a component of a null vector is rounding. */
const rounding = 1e-9;

/** True where a vector of unknowns differs between two places (−1: the reference, whose value is zero). */
export function differs(vector: Vector, a: number, b: number): boolean {
  const part = (values: Float64Array | null, k: number) => (values && k >= 0 ? values[k]! : 0);
  const difference = Math.hypot(part(vector.re, a) - part(vector.re, b), part(vector.im, a) - part(vector.im, b));
  return difference > rounding * largest(vector);
}

/** Names what each null vector of a system moves. */
export function namedFloating(system: System, nullVectors: readonly Vector[]): Floating[] {
  return nullVectors.map((vector) => {
    const nodes = [...system.nodes].filter(([, k]) => differs(vector, k, -1)).map(([node]) => node);
    const moved = new Set(nodes);
    const parts = [...system.elements.values()].filter((element) =>
      nodes.length > 0
        ? nodesOf(element).some((node) => moved.has(node))
        : differs(vector, system.branches.get(element.name) ?? -1, -1),
    );
    return { nodes, parts: parts.map((part) => part.name) };
  });
}

/** "C7 – R4 floats at DC": one line for a person. */
export function floatingText({ nodes, parts }: Floating, frequency: number): string {
  const shown = parts.length > 4 ? [...parts.slice(0, 3), `${parts.length - 3} more`] : parts;
  const what = shown.join(' – ') || nodes.join(', ');
  if (nodes.length === 0) return `the current round ${what} is not determined`;
  return `${what} floats${frequency === 0 ? ' at DC' : ''}`;
}

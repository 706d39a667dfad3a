import type { Place } from '../text/finding';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { entityAt, type Occurrence, occurrences } from './mentions';
import { targetAt } from './target';

type Readable = BoardAnalysis | PinoutAnalysis;

function found(analysis: Readable, offset: number, others: readonly Readable[]): Occurrence[] {
  const target = targetAt(analysis, offset);
  const entity = target && entityAt(analysis, target, offset);
  if (!entity) return [];
  return occurrences([analysis, ...others.filter((other) => other.uri !== analysis.uri)], entity);
}

/** Every place that names the thing at an offset, in this file and those given. */
export function references(
  analysis: Readable,
  offset: number,
  others: readonly Readable[] = [],
  withDeclaration = true,
): Place[] {
  return found(analysis, offset, others)
    .filter((place) => withDeclaration || !place.declares)
    .map(({ file, span }) => ({ file, span }));
}

/** A place to be marked beside the one the cursor is on. `write`: the name is given there. */
export interface Highlight {
  readonly span: Span;
  readonly kind: 'read' | 'write';
}

/** Every place in the file that names the thing at an offset. */
export const highlights = (analysis: Readable, offset: number): Highlight[] =>
  found(analysis, offset, []).map(({ span, declares }) => ({ span, kind: declares ? 'write' : 'read' }));

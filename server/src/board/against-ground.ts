import type { Copper, WrittenPoint } from './copper';
import type { Reading } from './measured';
import { isGround } from './roles';

/** What a meter showed of one point against ground, in the reading's unit. */
export interface AgainstGround {
  readonly point: WrittenPoint;
  readonly value: number;
}

/**
 * A reading as one of a single point against ground: written so, or between a point and a ground, either way round.
 * Undefined between two other points, two grounds, and for a current.
 */
export function againstGround({ kind, points, value }: Reading, copper: Copper): AgainstGround | undefined {
  const [red, black] = points;
  if (!red || !black) return red && { point: red, value };
  const [first, second] = [red, black].map((point) => copper.node(point.ref.name));
  if (!first || !second || isGround(first) === isGround(second)) return undefined;
  return isGround(second) ? { point: red, value } : { point: black, value: kind === 'dc' ? -value : value };
}

import { expect } from 'vitest';
import { type Complex, magnitude, subtract } from '../../server/src/circuit/complex';

/** Holds a complex value against the wanted one, to a fraction of `scale` (the wanted magnitude unless given). */
export function near(got: Complex | null, wanted: Complex, relative: number, scale = magnitude(wanted)): void {
  expect(got).not.toBeNull();
  const miss = magnitude(subtract(got!, wanted));
  expect(miss, `${got!.re} + j${got!.im} beside ${wanted.re} + j${wanted.im}`).toBeLessThanOrEqual(relative * scale);
}

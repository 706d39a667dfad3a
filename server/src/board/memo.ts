import type { Copper } from './copper';

/** What is worked out from one state's copper, once. */
export function perCopper<T>(make: (copper: Copper) => T): (copper: Copper) => T {
  const known = new WeakMap<Copper, { readonly value: T }>();
  return (copper) => {
    const found = known.get(copper);
    if (found) return found.value;
    const value = make(copper);
    known.set(copper, { value });
    return value;
  };
}

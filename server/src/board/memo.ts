import type { Copper } from './copper';

/** A function of one immutable thing that is worked out once for each, and forgotten with it. */
export function perKey<K extends object, T>(make: (key: K) => T): (key: K) => T {
  const known = new WeakMap<K, { readonly value: T }>();
  return (key) => {
    const found = known.get(key);
    if (found) return found.value;
    const value = make(key);
    known.set(key, { value });
    return value;
  };
}

/** What is worked out from one state's copper, once. */
export const perCopper = <T>(make: (copper: Copper) => T): ((copper: Copper) => T) => perKey(make);

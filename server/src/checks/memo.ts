import type { Snapshot } from './check';

/** What is worked out from one snapshot, once, for all checks that ask. */
export function perSnapshot<T>(make: (snapshot: Snapshot) => T): (snapshot: Snapshot) => T {
  const known = new WeakMap<Snapshot, { readonly value: T }>();
  return (snapshot) => {
    const found = known.get(snapshot);
    if (found) return found.value;
    const value = make(snapshot);
    known.set(snapshot, { value });
    return value;
  };
}

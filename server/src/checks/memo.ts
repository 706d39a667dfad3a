import { perKey } from '../board/memo';
import type { Snapshot } from './check';

/** What is worked out from one snapshot, once, for all checks that ask. */
export const perSnapshot = <T>(make: (snapshot: Snapshot) => T): ((snapshot: Snapshot) => T) => perKey(make);

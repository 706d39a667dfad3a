import type { Part } from '../../board/part';
import type { Snapshot } from '../../checks/check';
import { weighed } from '../../checks/chips/identified';
import { tell } from '../../diagnosis/identify/identify';
import { identityLines } from '../../diagnosis/identify/words';
import { bullets, prose } from '../markdown';

/** Which data sheet a chip's copper fits, and which pin to look at next; undefined where there is none to hold it against. */
export function describeIdentity(snapshot: Snapshot, part: Part): string | undefined {
  const found = weighed(snapshot).find((one) => one.part.designator === part.designator);
  const lines = found ? identityLines(tell(found)) : [];
  return lines.length === 0 ? undefined : `**By its copper**\n\n${bullets(lines.map(prose))}`;
}

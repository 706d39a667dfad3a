import type { Fault } from './faults';
import { groundsAndFeeds } from './grounds-and-feeds';
import { healthy } from './healthy';

/** Every healthy board of the corpus, by name. */
export const boards: Readonly<Record<string, string>> = { ...healthy, ...groundsAndFeeds };

/** The text of a faulty board. */
export function faulty(fault: Fault): string {
  let text = boards[fault.of];
  if (text === undefined) throw new Error(`no healthy board called ${fault.of}`);
  for (const [from, to] of fault.change ?? []) {
    if (text.split(from).length !== 2) throw new Error(`${JSON.stringify(from)} is not once in ${fault.of}`);
    text = text.replace(from, () => to);
  }
  return text + (fault.add ?? '');
}

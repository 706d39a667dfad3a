import { describe, expect, it } from 'vitest';
import { type Fault, faults } from './faults';
import { findingsOf } from './found';
import { groundsAndFeeds } from './grounds-and-feeds';
import { healthy } from './healthy';

const boards = { ...healthy, ...groundsAndFeeds };

function faulty(fault: Fault): string {
  let text = boards[fault.of];
  if (text === undefined) throw new Error(`no healthy board called ${fault.of}`);
  for (const [from, to] of fault.change ?? []) {
    if (text.split(from).length !== 2) throw new Error(`${JSON.stringify(from)} is not once in ${fault.of}`);
    text = text.replace(from, () => to);
  }
  return text + (fault.add ?? '');
}

describe('faulty boards', () => {
  it('are enough, with the healthy ones: at least sixty', () => {
    expect(Object.keys(faults).length + Object.keys(boards).length).toBeGreaterThanOrEqual(60);
  });

  it.each(Object.entries(faults))('%s: exactly its finding', async (_, fault) => {
    const found = await findingsOf(faulty(fault));
    expect(found.map((line) => line.slice(0, line.indexOf(':')))).toEqual(fault.finds.map(([name]) => name));
    fault.finds.forEach(([, says], index) => {
      if (says !== undefined) expect(found[index]).toContain(says);
    });
  });
});

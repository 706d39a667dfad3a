import { describe, expect, it } from 'vitest';
import { faults } from './faults';
import { boards, faulty } from './faulty';
import { findingsOf } from './found';

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

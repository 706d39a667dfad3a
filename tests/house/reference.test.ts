import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { referencePages } from '../../.build/reference';
import { checks } from '../../server/src/checks/registry';
import { checkNames } from '../../server/src/dialect/check-names';

test('the reference that goes with the extension is what the tables say: npm run reference', () => {
  for (const [name, text] of referencePages())
    expect(readFileSync(join(__dirname, '../../client/reference', name), 'utf8')).toBe(text);
});

test('every check has a name in the table, once, and a page with nothing left out', () => {
  const names = checks.map((check) => check.name);
  expect(new Set(names).size).toBe(names.length);
  for (const check of checks) {
    expect(checkNames.has(check.name)).toBe(true);
    for (const part of Object.values(check.page)) expect(part.trim().length).toBeGreaterThan(5);
  }
});

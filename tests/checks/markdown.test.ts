import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { checks } from '../../server/src/checks/registry';
import { casesOf, verdictOf } from '../harness/markdown-board';

const here = dirname(fileURLToPath(import.meta.url));
const files = readdirSync(here)
  .filter((name) => name.endsWith('.md'))
  .sort();
const tests = new Map(files.map((file) => [file, casesOf(readFileSync(join(here, file), 'utf8'))]));

for (const [file, cases] of tests)
  describe(file, () => {
    it.each(cases.map((test) => [test.title, test] as const))('%s', async (_, test) => {
      const { said, wanted } = await verdictOf(test);
      expect(said).toEqual(wanted);
    });
  });

describe('every check', () => {
  it.each(checks.map((check) => check.name))(
    '%s: fires, stays silent on a near miss and on half-typed text',
    (name) => {
      const cases = tests.get(`${name}.md`) ?? [];
      const told = (test: (typeof cases)[number]) =>
        [...test.expected.values()].flat().some((expected) => expected.check === name);
      expect(cases.filter(told).length, 'a case that fires').toBeGreaterThan(0);
      expect(cases.filter((test) => !told(test) && /^Silent/.test(test.title)).length, 'a near miss').toBeGreaterThan(
        0,
      );
      expect(
        cases.filter((test) => !told(test) && /^Half-typed/.test(test.title)).length,
        'half-typed',
      ).toBeGreaterThan(0);
    },
  );
});

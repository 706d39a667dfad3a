import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../server/src/text/finding';
import { casesOf } from '../harness/markdown-board';
import { bench, uriOf } from '../harness/memory';
import { applied, type Contents } from './applied';

const here = dirname(fileURLToPath(import.meta.url));

/** Every board and pinout of the Markdown tests of checks. */
const cases = readdirSync(here)
  .filter((name) => name.endsWith('.md'))
  .flatMap((name) =>
    casesOf(readFileSync(join(here, name), 'utf8')).flatMap(({ title, files }) =>
      Object.keys(files)
        .filter((file) => /\.(board|pinout)\.yaml$/.test(file))
        .map((file) => ({ title: `${name}, ${title}, ${file}`, file, files })),
    ),
  )
  // A bulk of comments is no text to mend.
  .filter(({ files, file }) => files[file]!.length < 1e6);

/** What is found before any recording has been measured: no fix waits for one. */
const foundIn = async (files: Contents, file: string): Promise<readonly Finding[]> =>
  (await bench(files).workspace.analyse(uriOf(file))).now.findings;

/** A finding by its check and the start of its message: what moves along with the text is not compared. */
const same = (a: Finding) => (b: Finding) => a.check === b.check && a.message === b.message;
const countOf = (findings: readonly Finding[], of: (finding: Finding) => boolean) => findings.filter(of).length;

describe('every fix', () => {
  let safe = 0;
  let others = 0;

  it.each(cases.map((one) => [one.title, one] as const))(
    '%s: what it gives parses, the finding is gone, a second time changes nothing',
    async (_, { files, file }) => {
      const findings = await foundIn(files, file);
      for (const finding of findings)
        for (const fix of finding.fixes) {
          if (fix.safe) safe++;
          else others++;
          const after = applied(files, fix);
          const again = await foundIn(after, file);
          const at = `${finding.check}: ${fix.title}`;
          expect(countOf(again, same(finding)), `${at}: the finding is gone`).toBe(
            countOf(findings, same(finding)) - 1,
          );
          expect(
            countOf(again, (one) => one.check === 'syntax'),
            `${at}: no new syntax finding`,
          ).toBeLessThanOrEqual(countOf(findings, (one) => one.check === 'syntax'));
          const offered = again
            .filter(same(finding))
            .flatMap((one) => one.fixes.filter(({ title }) => title === fix.title));
          expect(offered.length, `${at}: it is not offered again`).toBeLessThan(
            findings.filter(same(finding)).flatMap((one) => one.fixes.filter(({ title }) => title === fix.title))
              .length,
          );
        }
    },
  );

  it('has been met in these tests', () => {
    expect(safe).toBeGreaterThan(0);
    expect(others).toBeGreaterThan(5);
  });
});

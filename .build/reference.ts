import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { checkPage } from '../server/src/checks/pages';
import { checks } from '../server/src/checks/registry';
import { reference } from '../server/src/dialect/reference';

const made = 'Made from the tables by `npm run reference`; a test fails when it is stale.';

/** The reference pages that go with the extension, by file name. */
export function referencePages(): Map<string, string> {
  const pages = [...checks]
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .map((check) => checkPage(check).replace(/^# /, '## '));
  return new Map([
    ['checks.md', `# Checks\n\n${made}\n\n${pages.join('\n\n')}\n`],
    ['dialect.md', `${reference().trimEnd()}\n\n${made}\n`],
  ]);
}

if (process.argv[2]) for (const [name, text] of referencePages()) writeFileSync(join(process.argv[2], name), text);

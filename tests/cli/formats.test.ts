import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import Ajv from 'ajv-draft-04';
import { expect, test } from 'vitest';
import { buzzout } from '../harness/cli';
import { outside } from '../harness/outside';

const root = join(__dirname, '../..');
const boards = ['samples/tidemill', 'samples/faults'];

test('SARIF is valid against the schema of OASIS SARIF 2.1.0 (as shipped by @microsoft/jest-sarif)', async () => {
  const { out } = await buzzout(root, ['check', ...boards, '--format', 'sarif']);
  const log = JSON.parse(out);
  const home = dirname(createRequire(import.meta.url).resolve('@microsoft/jest-sarif/package.json'));
  const schema = JSON.parse(readFileSync(join(home, 'lib/schemas/sarif-2.1.0-rtm.5.json'), 'utf8'));
  const validate = new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false }).compile(schema);
  expect(validate(log), JSON.stringify(validate.errors?.slice(0, 3))).toBe(true);
  const told = log.runs[0].results.map((result: { ruleId: string }) => result.ruleId).sort();
  expect(told.filter((rule: string) => rule !== 'cause-likely')).toEqual([
    'channel-dead',
    'channels-antiphase',
    'channels-identical',
    'channels-swapped',
    'supply-out-of-range',
  ]);
  const [result] = log.runs[0].results;
  expect(log.runs[0].tool.driver.rules[result.ruleIndex].id).toBe(result.ruleId);
  expect(result.locations[0].physicalLocation.region.startLine).toBeGreaterThan(1);
});

test.skipIf(outside.missing('python'))(
  'JUnit is well-formed XML whose counts add up, by an XML parser that is not ours',
  async () => {
    const { out } = await buzzout(root, ['check', ...boards, '--format', 'junit']);
    const script = `
import sys, json, xml.etree.ElementTree as tree
top = tree.fromstring(sys.stdin.read())
print(json.dumps({"tag": top.tag, "tests": int(top.get("tests")), "failures": int(top.get("failures")),
  "cases": len(top.findall("testsuite/testcase")), "failed": len(top.findall("testsuite/testcase/failure")),
  "suites": len(top.findall("testsuite"))}))`;
    const counted = JSON.parse(execFileSync('python3', ['-c', script], { input: out, encoding: 'utf8' }));
    expect(counted).toEqual({
      tag: 'testsuites',
      tests: counted.cases,
      failures: 5,
      cases: counted.cases,
      failed: 5,
      suites: 9,
    });
  },
);

test('JSON has the fields of the contract, and the same bytes on every run', async () => {
  const first = await buzzout(root, ['check', ...boards, '--format', 'json']);
  const second = await buzzout(root, ['check', ...boards, '--format', 'json']);
  expect(first.out).toBe(second.out);
  for (const finding of JSON.parse(first.out).findings)
    expect(Object.keys(finding)).toEqual(
      expect.arrayContaining(['check', 'severity', 'file', 'range', 'message', 'at', 'evidence', 'figures']),
    );
});

import { rank, type Severity } from '../text/finding';
import type { CheckedFile } from './json';

/**
 * The findings as JUnit XML: a suite a file, a case a finding, failed from the threshold up; a file with nothing to say has one
 * case that passed. There is no published standard: the elements and attributes are those that test servers have in common.
 */
export function findingsJunit(files: readonly CheckedFile[], threshold: Severity): string {
  const suites = files.map(({ analysis, path }) => {
    const cases = analysis.findings.map((finding) => {
      const line = analysis.lines.position(finding.place.span.start).line + 1;
      const name = `${finding.check} at line ${line}`;
      const open = `    <testcase name="${xml(name)}" classname="${xml(path)}" time="0"`;
      if (rank(finding.severity) > rank(threshold))
        return `${open}>\n      <system-out>${xml(finding.message)}</system-out>\n    </testcase>`;
      const evidence = finding.evidence.length > 0 ? `\nfrom ${finding.evidence.join('; ')}` : '';
      return `${open}>\n      <failure type="${finding.severity}" message="${xml(finding.message)}">${xml(`${path}:${line}${evidence}`)}</failure>\n    </testcase>`;
    });
    const failures = analysis.findings.filter((finding) => rank(finding.severity) <= rank(threshold)).length;
    if (cases.length === 0) cases.push(`    <testcase name="nothing found" classname="${xml(path)}" time="0"/>`);
    return {
      tests: cases.length,
      failures,
      text: `  <testsuite name="${xml(path)}" tests="${cases.length}" failures="${failures}" errors="0" skipped="0" time="0">\n${cases.join('\n')}\n  </testsuite>`,
    };
  });
  const sum = (of: (suite: (typeof suites)[number]) => number) => suites.reduce((total, suite) => total + of(suite), 0);
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="buzzout" tests="${sum((suite) => suite.tests)}" failures="${sum((suite) => suite.failures)}" errors="0" time="0">\n${suites.map((suite) => suite.text).join('\n')}\n</testsuites>\n`;
}

/** Text for XML 1.0, in an element or an attribute: what the format forbids becomes a replacement character. */
const xml = (text: string): string =>
  text
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '\uFFFD')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/\n/g, '&#10;');
